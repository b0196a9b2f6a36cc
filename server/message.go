package server

import "encoding/json"

// message is what a page sends over the websocket: {"id": n, "verb": "cue",
// ...fields of the verb}. ID is chosen by the page and comes back in the
// answer as it was written; nil when there was none.
type message struct {
	ID     json.RawMessage
	Verb   string
	Fields *fields
}

// maxIDBytes is the most that is echoed: an id is a small number.
const maxIDBytes = 20

// parseMessage reads a message. With a problem, the message still has the id
// when that could be read, so that the answer finds its asker.
func parseMessage(text []byte) (message, *Problem) {
	var m message
	f, p := parseFields(text)
	if p != nil {
		return m, p
	}
	m.Fields = f
	if id, ok := f.take("id"); ok {
		var n int64
		if err := json.Unmarshal(id, &n); err != nil || len(id) > maxIDBytes {
			return m, badValue("id", shown(id), "a whole number", `number the messages: {"id": 1, "verb": "hold"}`)
		}
		m.ID = id
	}
	m.Verb = f.needText("verb", "cue")
	return m, f.first
}

// answer is what comes back for each message, in the order of the messages.
type answer struct {
	Type  string          `json:"type"`
	ID    json.RawMessage `json:"id"`
	OK    bool            `json:"ok,omitempty"`
	Edit  *Edited         `json:"edit,omitempty"`
	Error *Problem        `json:"error,omitempty"`
}

// answerTo encodes the answer to message id.
func answerTo(id json.RawMessage, p *Problem) []byte { return answerEdited(id, nil, p) }

// answerEdited is answerTo with what came of an edit; nil for none.
func answerEdited(id json.RawMessage, edit *Edited, p *Problem) []byte {
	if id == nil {
		id = json.RawMessage("null")
	}
	text, err := json.Marshal(answer{"answer", id, p == nil, edit, p})
	if err != nil {
		panic(err) // the id was valid JSON and the rest is plain data
	}
	return text
}
