// The numbers of colour/picture's curve: how camera values become an image.

/** Of a grey card under the key. */
export const GREY = 0.18;

/**
 * The curve of a camera that clips so many stops over grey: where channels
 * clip, and the scale and white of Reinhard's equation 4 (SIGGRAPH 2002),
 * x(1+x/w²)/(1+x), with white at the clip and grey staying grey:
 * with x the scaled grey, (x + 4^-over)/(1 + x) = grey.
 *
 * @param {number} over
 */
export function curveOf(over) {
  const scale = Math.max(1, (GREY - 4 ** -over) / (GREY * (1 - GREY)));
  const clip = GREY * 2 ** over;
  return { clip, scale, white: scale * clip };
}

/** Of the bend that draws in colours which no screen shows; see colour/picture, compress.go. */
export const BEND = { from: 0.8, limit: 1.6, power: 1.2 };
export const BEND_SCALE =
  (BEND.limit - BEND.from) / (((1 - BEND.from) / (BEND.limit - BEND.from)) ** -BEND.power - 1) ** (1 / BEND.power);
