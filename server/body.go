package server

import (
	"errors"
	"fmt"
	"io"
	"mime"
	"net/http"
	"slices"
	"strings"
)

// maxBodyBytes is the largest request that is read.
const maxBodyBytes = 64 << 10

// readBody reads the body of a request that must be of one of the given media
// types. An empty body needs no type.
func readBody(w http.ResponseWriter, r *http.Request, types ...string) ([]byte, *Problem) {
	body, err := io.ReadAll(http.MaxBytesReader(w, r.Body, maxBodyBytes))
	if tooLarge, ok := errors.AsType[*http.MaxBytesError](err); ok {
		return nil, &Problem{
			http.StatusRequestEntityTooLarge, codeTooLarge, fmt.Sprintf("the request is larger than %d bytes", tooLarge.Limit), "body",
			"send only the fields of the verb",
		}
	}
	if err != nil {
		return nil, &Problem{http.StatusBadRequest, codeBadJSON, "the request broke off", "body", "send it again"}
	}
	given := r.Header.Get("Content-Type")
	if given == "" && len(body) == 0 {
		return body, nil
	}
	if slices.Contains(types, mediaType(r)) {
		return body, nil
	}
	return nil, &Problem{
		http.StatusUnsupportedMediaType, codeContentType, fmt.Sprintf("the request is %q", given), "Content-Type",
		"send it as " + strings.Join(types, " or "),
	}
}

// mediaType is the media type of a request without its parameters.
func mediaType(r *http.Request) string {
	kind, _, err := mime.ParseMediaType(r.Header.Get("Content-Type"))
	if err != nil {
		return ""
	}
	return kind
}

// readFields reads the fields of a verb, which may come without a body.
func readFields(w http.ResponseWriter, r *http.Request) (*fields, *Problem) {
	body, p := readBody(w, r, "application/json")
	if p != nil {
		return nil, p
	}
	if len(body) == 0 {
		body = []byte("{}")
	}
	return parseFields(body)
}
