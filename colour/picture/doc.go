// Package picture makes a picture of a lit place as a camera exposes it.
//
// A [Shot] is what every pixel of a camera looks at: it is found once with rays, and
// does not depend on the light. [Shot.Expose] turns the light of a moment, summed
// from the map of colour/transport, into linear camera values; [Curve.Develop] turns
// those into an image. So a fade is one shot and many exposures.
//
// Camera values are relative to the key: 0.18 is the 18 % grey card under what an
// incident meter asks for, and each channel clips at 0.18·2^over. A light is
// weighed for each channel by what the balanced sensor makes of it, not by eye:
// see colour/camera.
package picture
