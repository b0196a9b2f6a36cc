package showfile
import ("testing";"fmt")
func TestFP(t *testing.T){ for _,ty:=range BuiltinTypes(){ for _,m:=range ty.Modes { fmt.Println(ty.Name,m.Name,m.Footprint)}}}
