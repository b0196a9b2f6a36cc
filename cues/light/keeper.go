package light

import (
	"context"
	"fmt"
	"log/slog"

	"linkboy/colour/transport"
	"linkboy/cues"
	"linkboy/cues/compile"
	"linkboy/cues/meter"
	"linkboy/cues/session"
	"linkboy/cues/stage"
)

// Compute works out an encoded task, and hands over the encoded map of each stage, the
// finished one last. It ends with the context's error when that ends first.
type Compute func(ctx context.Context, task []byte, each func(transport.Stage, []byte)) error

// Keeper gives the light of places: kept, or else computed and then kept. It is safe for
// concurrent use.
type Keeper struct {
	Folder  Folder
	Compute Compute      // nil has only what is kept
	Logger  *slog.Logger // nil is silent
}

// order is what is asked for.
type order struct {
	set  *stage.Stage
	task []byte
	key  string
}

func orderOf(set *stage.Stage) (order, error) {
	task, err := transport.Task{Place: &set.Place}.AppendBinary(nil)
	if err != nil {
		return order{}, err
	}
	return order{set, task, transport.Key(task)}, nil
}

// orderFor builds the stage of a place first.
func orderFor(place *compile.Place) (order, error) {
	set, problems := stage.Build(place)
	if set == nil {
		return order{}, problems.Errors()[0]
	}
	return orderOf(set)
}

// Kept gives the finished light of a place if it is kept, without computing any.
func (k *Keeper) Kept(place *compile.Place) (session.Lighting, bool) {
	o, err := orderFor(place)
	if err != nil {
		return session.Lighting{}, false
	}
	encoded, err := k.Folder.Read(o.key)
	if err != nil {
		return session.Lighting{}, false
	}
	l := finished(o, encoded)
	return l, l.Err == nil
}

// Light gives the light of a place, stage by stage. The channel is closed after the
// finished one, or one with an error, or when ctx ends. It must be read until then.
func (k *Keeper) Light(ctx context.Context, place *compile.Place) <-chan session.Lighting {
	stages := make(chan session.Lighting)
	send := func(l session.Lighting) {
		select {
		case stages <- l:
		case <-ctx.Done():
		}
	}
	go func() {
		defer close(stages)
		o, err := orderFor(place)
		if err == nil {
			err = k.supply(ctx, o, send)
		}
		if err != nil && ctx.Err() == nil {
			send(session.Lighting{Err: err})
		}
	}()
	return stages
}

// supply sends every stage of an order.
func (k *Keeper) supply(ctx context.Context, o order, send func(session.Lighting)) error {
	if encoded, err := k.Folder.Read(o.key); err == nil {
		send(finished(o, encoded))
		return nil
	}
	if k.Compute == nil {
		return nil
	}
	done := false
	err := k.Compute(ctx, o.task, func(at transport.Stage, encoded []byte) {
		if at != transport.Bounced {
			send(session.Lighting{Stage: string(at), Hash: o.key + "-" + string(at), Encoded: encoded})
			return
		}
		done = true
		k.keep(o.key, encoded)
		send(finished(o, encoded))
	})
	if err == nil && !done {
		err = fmt.Errorf("the light of %s was not finished", o.set.Plan.Location.Name)
	}
	return err
}

func (k *Keeper) keep(key string, encoded []byte) {
	if err := k.Folder.Write(key, encoded); err != nil && k.Logger != nil {
		k.Logger.Warn("computed light is not kept and will be computed again", "error", err)
	}
}

// finished is the light of an order that is done. A map is taken apart only where looks
// measure by it: its numbers are some tens of megabytes.
func finished(o order, encoded []byte) session.Lighting {
	l := session.Lighting{Stage: string(transport.Bounced), Hash: o.key, Encoded: encoded}
	if !o.set.Plan.NeedsLight() {
		return l
	}
	m, err := mapOf(o, encoded)
	if err != nil {
		return session.Lighting{Err: err}
	}
	l.Metered = meter.NewLevels(o.set, transport.NewLit(&o.set.Place, m))
	return l
}

// mapOf reads a map and checks that it can be that of the order.
func mapOf(o order, encoded []byte) (*transport.Map, error) {
	m, err := transport.Parse(encoded)
	if err != nil {
		return nil, err
	}
	if !(transport.Task{Place: &o.set.Place}).Fits(m) {
		return nil, fmt.Errorf("%w of %s", transport.ErrEncoded, o.set.Plan.Location.Name)
	}
	return m, nil
}

// Map gives the finished map of a stage, for who waits for it; each is told how far it
// is. It is read from its encoded form also when it has just been computed, so that it
// is the same each time.
func (k *Keeper) Map(ctx context.Context, set *stage.Stage, each func(transport.Stage)) (*transport.Map, error) {
	o, err := orderOf(set)
	if err != nil {
		return nil, err
	}
	if encoded, err := k.Folder.Read(o.key); err == nil {
		if m, err := mapOf(o, encoded); err == nil {
			return m, nil
		}
	}
	var m *transport.Map
	var parseErr error
	err = k.Compute(ctx, o.task, func(at transport.Stage, encoded []byte) {
		each(at)
		if at == transport.Bounced {
			k.keep(o.key, encoded)
			m, parseErr = mapOf(o, encoded)
		}
	})
	switch {
	case err != nil:
		return nil, err
	case parseErr != nil:
		return nil, parseErr
	case m == nil:
		return nil, fmt.Errorf("the light of %s was not finished", set.Plan.Location.Name)
	}
	return m, nil
}

// Here computes in this process, with every processor.
func Here(ctx context.Context, task []byte, each func(transport.Stage, []byte)) error {
	t, err := transport.ParseTask(task)
	if err != nil {
		return err
	}
	var failed error
	t.Options.Progress = func(at transport.Stage, m *transport.Map) {
		encoded, err := m.AppendBinary(nil)
		if err != nil {
			failed = err
			return
		}
		each(at, encoded)
	}
	if _, err := transport.Compute(ctx, t.Place, t.Options); err != nil {
		return err
	}
	return failed
}

var _ session.Lighter = (*Keeper)(nil)

// FolderOf is where the light of a show on disk is kept: a few maps for each location.
func FolderOf(show *cues.Show, dir string) Folder {
	const perLocation = 4
	return Folder{Dir: dir, Most: perLocation * max(len(show.Locations), 1)}
}
