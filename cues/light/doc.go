// Package light has the light of places computed, once: it keeps what is computed in
// a folder, under the key of all that it depends on, and has the rest worked out by
// whoever it is given for that.
//
// A file is named by the key of the task (colour/transport) and holds the encoded map,
// then the SHA-256 of the key and the map: so that a file that was cut, changed or put
// under another name is not taken for light.
package light
