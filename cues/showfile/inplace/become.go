package inplace

import "slices"

// Become makes what stands at path read as want, touching no more than it
// needs: values that are the same stay as they are written.
func (f *File) Become(path []int, want *Node) error {
	now := f.root.At(path)
	switch {
	case now == nil:
		return f.unsure(0, "there is nothing at that place")
	case now.Equal(want):
		return nil
	case now.Kind != want.Kind || now.Kind == Single || len(path) == 0 && now.Kind != Map:
		return f.Replace(Swap{Path: path, Value: want})
	case now.Kind == List:
		return f.becomeList(path, want)
	case now.flow && !sameKeys(now, want) && !f.remarked(now):
		return f.Replace(Swap{Path: path, Value: want})
	}
	return f.becomeMap(path, want)
}

func sameKeys(a, b *Node) bool {
	for _, k := range a.Keys {
		if b.Index(k.Text) < 0 {
			return false
		}
	}
	return len(a.Keys) == len(b.Keys)
}

// becomeMap keeps the order of the keys that stay.
func (f *File) becomeMap(path []int, want *Node) error {
	// New keys first: a map is never empty in between.
	for i, k := range want.Keys {
		var err error
		if now := f.root.At(path); now.Index(k.Text) < 0 {
			err = f.Insert(path, len(now.Kids), k.Text, want.Kids[i])
		}
		if err != nil {
			return err
		}
	}
	for i := 0; i < len(f.root.At(path).Kids); {
		key := f.root.At(path).Keys[i].Text
		if want.Index(key) < 0 {
			if err := f.Remove(path, i); err != nil {
				return err
			}
			continue
		}
		if err := f.Become(append(slices.Clone(path), i), want.Get(key)); err != nil {
			return err
		}
		i++
	}
	return nil
}

// becomeList keeps the items at both ends that stay, and of those between as
// many places as there are.
func (f *File) becomeList(path []int, want *Node) error {
	now := f.root.At(path)
	n, m := len(now.Kids), len(want.Kids)
	head := 0
	for head < min(n, m) && now.Kids[head].Equal(want.Kids[head]) {
		head++
	}
	tail := 0
	for tail < min(n, m)-head && now.Kids[n-1-tail].Equal(want.Kids[m-1-tail]) {
		tail++
	}
	for i := head; i < min(n, m)-tail; i++ {
		if err := f.Become(append(slices.Clone(path), i), want.Kids[i]); err != nil {
			return err
		}
	}
	for i := n - tail - 1; i >= m-tail; i-- {
		if err := f.Remove(path, i); err != nil {
			return err
		}
	}
	for i := n - tail; i < m-tail; i++ {
		if err := f.Insert(path, i, "", want.Kids[i]); err != nil {
			return err
		}
	}
	return nil
}
