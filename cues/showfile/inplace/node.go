package inplace

import (
	"slices"

	"gopkg.in/yaml.v3"
)

// Kind tells a single value, a list and a map apart.
type Kind int

// The kinds.
const (
	Single Kind = iota
	List
	Map
)

// Node is a value in a text, or one that is to be written into it.
type Node struct {
	Kind Kind
	Text string  // of a Single, as it is read
	Keys []*Node // of a Map, Single each
	Kids []*Node // the items of a List, the values of a Map

	style      yaml.Style
	flow       bool // written in brackets
	start, end int  // where it stands, in bytes; 0, 0 for one that is not written yet
}

// Value makes a Single.
func Value(text string) *Node { return &Node{Text: text} }

// Items makes a List.
func Items(kids ...*Node) *Node { return &Node{Kind: List, Kids: kids, flow: true} }

// Entries makes an empty Map.
func Entries() *Node { return &Node{Kind: Map, flow: true} }

// With adds an entry to a Map and gives it back.
func (n *Node) With(key string, value *Node) *Node {
	n.Keys, n.Kids = append(n.Keys, Value(key)), append(n.Kids, value)
	return n
}

// Index gives the place of a key in a Map, -1 when it is not there or n is no Map.
func (n *Node) Index(key string) int {
	if n == nil || n.Kind != Map {
		return -1
	}
	return slices.IndexFunc(n.Keys, func(k *Node) bool { return k.Text == key })
}

// Get gives the value of a key, nil when there is none.
func (n *Node) Get(key string) *Node {
	if i := n.Index(key); i >= 0 {
		return n.Kids[i]
	}
	return nil
}

// At gives the node that path leads to, an index at each step; nil for nowhere.
func (n *Node) At(path []int) *Node {
	for _, i := range path {
		if n == nil || i < 0 || i >= len(n.Kids) {
			return nil
		}
		n = n.Kids[i]
	}
	return n
}

// Equal reports whether two nodes are read alike, however they are written.
func (n *Node) Equal(other *Node) bool {
	if n.Kind != other.Kind || n.Text != other.Text || len(n.Kids) != len(other.Kids) {
		return false
	}
	for i := range n.Keys {
		if n.Keys[i].Text != other.Keys[i].Text {
			return false
		}
	}
	for i := range n.Kids {
		if !n.Kids[i].Equal(other.Kids[i]) {
			return false
		}
	}
	return true
}

// clone copies n down to its last value.
func (n *Node) clone() *Node {
	out := *n
	out.Keys, out.Kids = slices.Clone(n.Keys), slices.Clone(n.Kids)
	for i := range out.Keys {
		out.Keys[i] = n.Keys[i].clone()
	}
	for i := range out.Kids {
		out.Kids[i] = n.Kids[i].clone()
	}
	return &out
}
