package session

// ParseState reads the text of a state file.
var ParseState = parseState
