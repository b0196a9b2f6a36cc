// Package inplace changes one value, entry or item of a YAML text and leaves
// every other byte as it was: comments, order, quotes, indentation, line ends.
// It is for texts of the show format, which has no anchors, aliases and tags.
//
// Where each node of the text begins is told by the YAML parser, where it ends
// is found here. Each change is made twice, on the bytes and on a tree of the
// values, and then the bytes are parsed again: if the two differ, the change is
// refused with an *UnsureError and nothing is changed. So a way of writing that
// is not foreseen here costs an edit, never a file.
//
// What an entry has of its own goes with it when it is removed or moved: its
// lines, or its part of a line, and a comment behind it there. A comment on a
// line of its own stays where it is, as no program knows what it is about,
// unless it stands inside of the entry. A list or map that would have to be
// written anew as a whole is refused when a comment stands in it. New entries are written like the
// nearest entry of the same list or map that is of their shape.
package inplace
