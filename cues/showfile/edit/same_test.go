package edit_test

import (
	"fmt"
	"reflect"

	"linkboy/colour/lamp"
	"linkboy/colour/mesh"
	"linkboy/cues"
)

// differ gives where two shows say something else, "" for nowhere. Places in
// files do not count, the order of names in maps does not, that of cues, paint
// and members does.
func differ(a, b *cues.Show) string {
	return unlike("show", reflect.ValueOf(*a), reflect.ValueOf(*b))
}

func unlike(at string, a, b reflect.Value) string {
	switch a.Type() {
	case reflect.TypeFor[cues.Pos]():
		return ""
	case reflect.TypeFor[*lamp.Type](), reflect.TypeFor[*lamp.Mode](), reflect.TypeFor[*mesh.Mesh]():
		return "" // not edited
	}
	switch a.Kind() {
	case reflect.Pointer, reflect.Interface:
		if a.IsNil() || b.IsNil() {
			if a.IsNil() != b.IsNil() {
				return at + ": one is nil"
			}
			return ""
		}
		if a.Kind() == reflect.Interface && a.Elem().Type() != b.Elem().Type() {
			return at + ": other types"
		}
		return unlike(at, a.Elem(), b.Elem())
	case reflect.Struct:
		for i := range a.NumField() {
			field := a.Type().Field(i)
			if !field.IsExported() {
				continue
			}
			if d := unlike(at+"."+field.Name, a.Field(i), b.Field(i)); d != "" {
				return d
			}
		}
		return ""
	case reflect.Slice, reflect.Array:
		if a.Len() != b.Len() {
			return fmt.Sprintf("%s: %d and %d", at, a.Len(), b.Len())
		}
		for i := range a.Len() {
			here := fmt.Sprintf("%s[%d]", at, i)
			other := b.Index(i)
			if byName := named(b, nameOf(a.Index(i))); byName.IsValid() {
				other = byName
			}
			if d := unlike(here, a.Index(i), other); d != "" {
				return d
			}
		}
		return ""
	}
	if !a.Equal(b) {
		return fmt.Sprintf("%s: %v and %v", at, a, b)
	}
	return ""
}

// nameOf gives the name of an entry of a map in a file, "" for what has none.
func nameOf(v reflect.Value) string {
	if v.Kind() == reflect.Pointer {
		v = v.Elem()
	}
	if v.Kind() != reflect.Struct {
		return ""
	}
	switch v.Type() {
	case reflect.TypeFor[cues.Member](), reflect.TypeFor[cues.Cue](), reflect.TypeFor[cues.Paint](), reflect.TypeFor[cues.SetPiece]():
		return ""
	}
	for _, field := range []string{"Name", "ID", "Group", "Param"} {
		if f := v.FieldByName(field); f.IsValid() {
			return f.String()
		}
	}
	return ""
}

func named(all reflect.Value, name string) reflect.Value {
	for i := range all.Len() {
		if name != "" && nameOf(all.Index(i)) == name {
			return all.Index(i)
		}
	}
	return reflect.Value{}
}
