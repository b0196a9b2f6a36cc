package cues

// Slips is slips, for tests.
var Slips = slips

// Catalogue lists the codes that have an explanation.
func Catalogue() map[string]Severity {
	out := map[string]Severity{}
	for code, info := range catalogue {
		out[code] = info.severity
	}
	return out
}
