package main

import (
	"bytes"
	"image"
	"image/draw"
	"image/png"
	"testing"

	"github.com/stretchr/testify/require"

	"linkboy/artnet/outside"
	"linkboy/colour/picture"
	"linkboy/cues/light"
)

// still is what the daemon draws of a look.
func (s *litSet) still(look, setup string) *image.NRGBA {
	s.t.Helper()
	img, err := png.Decode(bytes.NewReader(s.get("/api/looks/" + look + "/still?setup=" + setup)))
	require.NoError(s.t, err)
	out := image.NewNRGBA(img.Bounds())
	draw.Draw(out, out.Rect, img, image.Point{}, draw.Src)
	return out
}

// TestStripShowsWhatTheDaemonDraws: the small pictures are those of `linkboy picture`, from
// the set-up that is chosen, also on a phone that draws no picture itself; an edit of a look
// changes its own and no other.
func TestStripShowsWhatTheDaemonDraws(t *testing.T) {
	s := newLitSet(t, 203, "deep-end")
	view, err := s.stage.Plan.Show.Camera.View()
	require.NoError(t, err)
	curve := picture.NewCurve(s.stage.Plan.Show.Camera.Over, view.Matrix())
	for i, u := range s.stage.Plan.Location.Setups {
		frame, _ := s.reference("tide", i, light.StillWidth, light.StillHeight, 0)
		want, got := curve.Develop(frame, nil), s.still("tide", u.Name)
		require.Equal(t, want.Rect, got.Rect)
		off := 0
		for k := range want.Pix {
			if d := int(want.Pix[k]) - int(got.Pix[k]); d < -2 || d > 2 {
				off++
			}
		}
		require.Less(t, float64(off)/float64(len(want.Pix)), 0.005, "from %s", u.Name)
	}

	p := openPhone(t, browser(t), s.url, planOnly)
	mean := func(look string) []float64 {
		return ask[[]float64](p, `const c = part("strip-`+look+`").querySelector("canvas"), d = c.getContext("2d").getImageData(0, 0, c.width, c.height).data, sum = [0, 0, 0];
			for (let i = 0; i < d.length; i++) if (i % 4 < 3) sum[i % 4] += d[i];
			return sum.map((v) => 4 * v / d.length);`)
	}
	drawn := func(look string) {
		t.Helper()
		outside.AwaitWork(t, "the daemon's picture of "+look, func() bool {
			return ask[bool](p, `return part("strip-`+look+`")?.querySelector("canvas").dataset.drawn === "daemon";`)
		})
	}
	drawn("tide")
	drawn("warden")
	still, want := s.still("tide", "wide"), [3]float64{}
	for k, v := range still.Pix {
		if k%4 < 3 {
			want[k%4] += 4 * float64(v) / float64(len(still.Pix))
		}
	}
	for c, v := range mean("tide") {
		require.InDelta(t, 0.73*want[c], v, 2, "at half of its light")
	}
	tide, warden := mean("tide"), mean("warden")

	s.do("setup", `{"setup": "reverse"}`)
	outside.AwaitWork(t, "the other camera's", func() bool { return mean("tide")[2] != tide[2] })
	s.do("setup", `{"setup": "wide"}`)
	outside.AwaitWork(t, "and back", func() bool { return mean("tide")[2] == tide[2] && mean("warden")[0] == warden[0] })
	p.keep("strip-stills.png")
}
