package compile

import (
	"sync"

	"linkboy/colour/lamp"
	"linkboy/colour/recipe"
	"linkboy/cues"
)

// book keeps the recipes of a place, each made once. Those that the looks of the
// show name are made with the place; a look that comes later may need another.
type book struct {
	camera *cues.Camera

	mu      sync.Mutex
	entries map[bookKey]bookEntry
	ref     *recipe.Reference // nil until a recipe needs it
}

// bookKey is what cells share a recipe by.
type bookKey struct {
	kind   *lamp.Type
	mode   *lamp.Mode
	policy recipe.Policy
}

type bookEntry struct {
	recipe *recipe.Recipe
	err    error
}

func newBook(c *cues.Camera) *book { return &book{camera: c, entries: map[bookKey]bookEntry{}} }

// recipe gives the recipe for a lamp by a policy, "" for brightest.
func (b *book) recipe(l *cues.KitLamp, policy recipe.Policy) (*recipe.Recipe, error) {
	if policy == "" {
		policy = recipe.Brightest
	}
	b.mu.Lock()
	defer b.mu.Unlock()
	key := bookKey{l.Type, l.Mode, policy}
	e, ok := b.entries[key]
	if !ok {
		e.recipe, e.err = b.make(key)
		b.entries[key] = e
	}
	return e.recipe, e.err
}

func (b *book) make(key bookKey) (*recipe.Recipe, error) {
	if key.policy == recipe.ForCamera && b.ref == nil {
		view, err := b.camera.View()
		if err != nil {
			return nil, err
		}
		b.ref = recipe.NewReference(view)
	}
	return recipe.New(key.kind, key.mode, key.policy, b.ref)
}

// prepare makes every recipe that a look of the place may need, so that none has
// to be made while a person waits for light. What cannot be is told by the look.
func (p *Place) prepare() {
	policies := map[recipe.Policy]bool{recipe.Brightest: true}
	for _, name := range p.Show.LookNames(p.Location) {
		policies[p.Show.Policy(p.Location, p.Show.Look(p.Location, name))] = true
	}
	for _, g := range p.Location.Groups {
		policies[g.Policy] = true
	}
	for _, r := range p.lamps {
		if r.n == 0 {
			continue
		}
		own := r.lamp.Lamp
		if own.Policy != "" {
			_, _ = p.book.recipe(own, own.Policy)
			continue
		}
		for policy := range policies {
			_, _ = p.book.recipe(own, policy)
		}
	}
}
