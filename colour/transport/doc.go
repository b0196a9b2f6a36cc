// Package transport computes how light gets from the cells of lamps to the
// surfaces of a place, once for each cell.
//
// Light adds up, so what any look shows is a weighted sum of what the cells
// show alone, each at one lumen (P. Haeberli, Synthetic Lighting for Photography,
// 1992; P. Teo, E. Simoncelli and D. Heeger, Efficient Linear Re-rendering for
// Interactive Lighting Design, 1997). [Compute] works those out as a [Map]: for
// every texel of every surface, the lux for a lumen of each cell.
//
// # Why light maps and not pictures
//
// A picture for each cell and camera is the shorter way to one camera's picture.
// A map on the surfaces is made once for every set-up, is sharp at any size of
// picture, lets the camera and people move, answers what a meter reads on the
// floor, and is smaller: a place of 12 000 texels against 57 600 pixels of a
// small picture for each set-up. What it cannot do is gloss, which is left out:
// all surfaces are matt.
//
// # Direct light and bounces
//
// Direct light is summed over points of the lamp's face with a ray to each, so
// that shadows are soft. The bounces take no ray for each cell: rays are cast
// once from every texel into its hemisphere, spread as the cosine, and each says
// which texel it meets. The light that a texel gets from others is the mean of
// what those reflect, for any light; so all cells share one set of rays, and each
// further bounce is one more pass over the list (the gathering radiosity of
// M. Cohen and D. Greenberg, The Hemi-Cube, SIGGRAPH 1985, with rays for form
// factors). Rays that meet nothing are lost to the sky, which is black: places
// are lit at night.
//
// A source may have a [Mask], the picture that a lamp projects. It shows in the map as
// finely as texels are, and in a meter as it is.
//
// Every number in here is for one lumen: illuminance in lux per lumen, 1/m².
// Colour comes in only through the reflectances, in the red, green and blue of a
// camera: light of a channel bounces by that channel's reflectance.
package transport
