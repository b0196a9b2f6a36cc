package server

import (
	"encoding/json"
	"fmt"
	"math"
	"net/http"
	"strconv"
	"strings"

	"linkboy/cues/session"
	"linkboy/server/osc"
)

// oscRoot is what every address of ours begins with.
const oscRoot = "/linkboy/"

// oscMethod turns the arguments of one address into a request of a verb. A nil request
// without a problem asks nothing: the button was let go.
type oscMethod struct {
	name  string // of the address, after oscRoot
	verb  string
	takes string // its arguments, for people
	read  func(args []any, d Director) (map[string]any, *Problem)
}

// oscMethods are all addresses that run something. A number beside a button is how far
// it is pressed: 0 is its release, which asks nothing.
var oscMethods = []oscMethod{
	{"run", "cue", "nothing, or a button", func(a []any, d Director) (map[string]any, *Problem) { return oscButton(a, oscStandby(d)) }},
	{"cue", "cue", "a number of the sheet or a look; then a fade, if another: 3 \"4 s\"", func(a []any, _ Director) (map[string]any, *Problem) {
		return oscTarget(a, "fade")
	}},
	{"count", "cue", "a count-in, for the stand-by, or a cue and a count-in: 3 \"4 beats\"", oscCount},
	{"standby", "standby", "a number of the sheet or a look", func(a []any, _ Director) (map[string]any, *Problem) { return oscTarget(a, "") }},
	{"hold", "hold", "nothing, or a button", oscPlain},
	{"resume", "resume", "nothing, or a button", oscPlain},
	{"snap", "snap", "nothing, or a button", oscPlain},
	{"back", "back", "nothing, or a button", oscPlain},
	{"ride", "ride", "0 to 1", func(a []any, _ Director) (map[string]any, *Problem) { return oscNumber(a, "at") }},
	{"overall", "overall", "0 to 1", func(a []any, _ Director) (map[string]any, *Problem) {
		f, p := oscNumber(a, "level")
		if p == nil {
			f["level"] = fmt.Sprintf("%g%%", math.Round(f["level"].(float64)*1e5)/1e3)
		}
		return f, p
	}},
	{"worklight", "worklight", "nothing or a button for the other way, true or false", oscSwitch},
	{"kill", "kill", "nothing or a button to kill, true or false", oscSwitch},
	{"dry", "dry", "true or false", func(a []any, _ Director) (map[string]any, *Problem) {
		if on, ok := oscFlag(a); ok {
			return map[string]any{"on": on}, nil
		}
		return nil, oscBadArgs("true or false")
	}},
	{"location", "location", "a name", func(a []any, _ Director) (map[string]any, *Problem) {
		if name, ok := oscText(a, 0); ok && len(a) == 1 {
			return map[string]any{"name": name}, nil
		}
		return nil, oscBadArgs("the name of a location")
	}},
	{"tempo", "tempo", "beats a minute; then beats a bar", func(a []any, _ Director) (map[string]any, *Problem) {
		f, p := oscNumber(a[:min(len(a), 1)], "bpm")
		if p == nil && len(a) == 2 {
			f["beats_per_bar"] = oscNumeral(a[1])
		}
		return f, p
	}},
	{"timecode", "timecode", "true or false to run or halt the daemon's clock, or where it is to be: \"01:00:00:00\"", oscTimecode},
}

func oscBadArgs(want string) *Problem {
	return &Problem{http.StatusBadRequest, codeBadValue, "the arguments are not what this address takes", "arguments", "send " + want}
}

// oscRequest turns a message into a verb, "" where there is none, and its fields. A nil
// fields without a problem asks nothing.
func oscRequest(m *osc.Message, d Director) (string, *fields, *Problem) {
	name, ours := strings.CutPrefix(m.Address, oscRoot)
	for _, method := range oscMethods {
		if !ours || method.name != name {
			continue
		}
		body, p := method.read(m.Args, d)
		if p != nil {
			p.Where = m.Address
			p.Mend = "send " + method.takes
			return method.verb, nil, p
		}
		if body == nil {
			return method.verb, nil, nil
		}
		text, err := json.Marshal(body)
		if err != nil { // a number that is none
			return method.verb, nil, oscBadArgs(method.takes)
		}
		f, p := parseFields(text)
		return method.verb, f, p
	}
	known := make([]string, len(oscMethods))
	for i, method := range oscMethods {
		known[i] = oscRoot + method.name
	}
	mend := mendWords(m.Address, known)
	if strings.ContainsAny(m.Address, "*?[]{}") {
		mend = "name one address: patterns are refused, as one of them could mean kill as well"
	}
	return "", nil, &Problem{http.StatusNotFound, codeNoSuchPath, fmt.Sprintf("there is nothing at %q%s", m.Address, hint(m.Address, known)), m.Address, mend}
}

func oscPlain(args []any, _ Director) (map[string]any, *Problem) {
	return oscButton(args, map[string]any{})
}

// oscButton gives the request unless the button was let go.
func oscButton(args []any, request map[string]any) (map[string]any, *Problem) {
	switch {
	case len(args) > 1:
		return nil, oscBadArgs("")
	case len(args) == 1 && oscReleased(args[0]):
		return nil, nil
	}
	return request, nil
}

// oscReleased tells whether an argument is that of a button that was let go.
func oscReleased(arg any) bool {
	if on, ok := arg.(bool); ok {
		return !on
	}
	return oscNumeral(arg) == 0.0
}

// oscSwitch reads true or false, or a button for the usual way.
func oscSwitch(args []any, _ Director) (map[string]any, *Problem) {
	if len(args) == 1 {
		if on, ok := args[0].(bool); ok {
			return map[string]any{"on": on}, nil
		}
	}
	return oscButton(args, map[string]any{})
}

// oscStandby is the request that runs what stands by; what stands nowhere is refused by
// the director.
func oscStandby(d Director) map[string]any {
	next := d.State().Standby
	switch {
	case next == nil:
		return map[string]any{}
	case next.Cue > 0:
		return map[string]any{"cue": next.Cue}
	}
	return map[string]any{"look": next.Look}
}

// oscTarget reads a cue or a look, and one text more for a field.
func oscTarget(args []any, field string) (map[string]any, *Problem) {
	if len(args) == 0 || len(args) > 2 || len(args) == 2 && field == "" {
		return nil, oscBadArgs("")
	}
	request := map[string]any{}
	if name, ok := oscText(args, 0); ok {
		request["look"] = name
		if n, err := strconv.Atoi(name); err == nil {
			request = map[string]any{"cue": n}
		}
	} else if n := oscNumeral(args[0]); n != nil {
		request["cue"] = n
	} else {
		return nil, oscBadArgs("")
	}
	if len(args) == 2 {
		text, ok := oscText(args, 1)
		if !ok {
			return nil, oscBadArgs("")
		}
		request[field] = text
	}
	return request, nil
}

func oscCount(args []any, d Director) (map[string]any, *Problem) {
	if len(args) == 1 {
		text, ok := oscText(args, 0)
		if !ok {
			return nil, oscBadArgs("")
		}
		request := oscStandby(d)
		request["count_in"] = text
		return request, nil
	}
	return oscTarget(args, "count_in")
}

func oscTimecode(args []any, _ Director) (map[string]any, *Problem) {
	request := map[string]any{}
	for _, arg := range args {
		switch v := arg.(type) {
		case bool:
			request["run"] = v
		case string:
			request["at"] = v
		default:
			return nil, oscBadArgs("")
		}
	}
	if len(request) == 0 || len(request) != len(args) {
		return nil, oscBadArgs("")
	}
	return request, nil
}

func oscNumber(args []any, field string) (map[string]any, *Problem) {
	if len(args) == 1 {
		if n := oscNumeral(args[0]); n != nil {
			return map[string]any{field: n}, nil
		}
	}
	return nil, oscBadArgs("")
}

// oscNumeral gives a number of any type as a float64, nil for what is none.
func oscNumeral(arg any) any {
	switch v := arg.(type) {
	case int32:
		return float64(v)
	case int64:
		return float64(v)
	case float32:
		// As it was written: 0.1, not the binary fraction nearest to it.
		n, err := strconv.ParseFloat(strconv.FormatFloat(float64(v), 'g', -1, 32), 64)
		if err != nil || math.IsNaN(n) || math.IsInf(n, 0) {
			return nil
		}
		return n
	case float64:
		if math.IsNaN(v) || math.IsInf(v, 0) {
			return nil
		}
		return v
	}
	return nil
}

func oscText(args []any, i int) (string, bool) {
	if i >= len(args) {
		return "", false
	}
	switch v := args[i].(type) {
	case string:
		return v, v != ""
	case osc.Symbol:
		return string(v), v != ""
	}
	return "", false
}

func oscFlag(args []any) (on, ok bool) {
	if len(args) != 1 {
		return false, false
	}
	if on, ok = args[0].(bool); ok {
		return on, true
	}
	n, ok := oscNumeral(args[0]).(float64)
	return n != 0, ok
}

// oscState tells what is on: location, look, cue and look standing by, progress of the fade
// (1 without one), and whether it is held, killed, work light, dry.
func oscState(st session.State) *osc.Message {
	cue, standby, progress := 0, "", float32(1)
	if st.Standby != nil {
		cue, standby = st.Standby.Cue, st.Standby.Look
	}
	if st.Fade != nil {
		progress = float32(st.Fade.Progress)
	}
	return &osc.Message{Address: oscRoot + "is", Args: []any{st.Location, st.Look, int32(cue), standby, progress, st.Held, st.Killed, st.Work, st.Dry}}
}
