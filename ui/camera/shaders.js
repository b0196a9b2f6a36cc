// The programs of the picture (GLSL ES 3.00).

import { BEND, BEND_SCALE, GREY } from './curve.js';
import { KIND } from './mesh.js';

/** @param {number} v */
const float = (v) => v.toPrecision(9).replace(/^(-?\d+)$/, '$1.0');

const HEAD = `#version 300 es
precision highp float;
precision highp int;
precision highp sampler2D;
precision highp sampler2DArray;
#define PI ${float(Math.PI)}
`;

/** Covers the target with one triangle. */
export const COVER = `${HEAD}
void main() {
  gl_Position = vec4(gl_VertexID == 1 ? 3.0 : -1.0, gl_VertexID == 2 ? 3.0 : -1.0, 0.0, 1.0);
}`;

/**
 * Adds the light of sources on every texel. A layer of uCodes holds four
 * sources; of a coloured place, three layers one channel each. Cells has, for
 * the same four, their light times the top of their plane, one after the other
 * for red, green and blue.
 *
 * @param {number} channels
 * @param {number} groups most that Cells holds
 */
export const sum = (channels, groups) => `${HEAD}
uniform sampler2DArray uCodes;
layout(std140) uniform Cells { vec4 cells[${3 * groups}]; };
uniform sampler2D uBefore; // what other codes have given
uniform sampler2D uShown; // 0 for texels that are hidden
uniform bool uMore; // there are other codes
uniform int uGroups;
out vec4 light;

vec4 value(int layer) {
  vec4 code = texelFetch(uCodes, ivec3(gl_FragCoord.xy, layer), 0);
  return code * code * code;
}

void main() {
  ivec2 texel = ivec2(gl_FragCoord.xy);
  vec3 lux = uMore ? texelFetch(uBefore, texel, 0).rgb : vec3(0);
  for (int g = 0; g < uGroups; g++) {
    vec4 r = cells[3 * g], gr = cells[3 * g + 1], b = cells[3 * g + 2];
    if (r + gr + b == vec4(0)) continue;
    ${channels === 1
      ? 'vec4 v = value(g); lux += vec3(dot(v, r), dot(v, gr), dot(v, b));'
      : 'lux += vec3(dot(value(3 * g), r), dot(value(3 * g + 1), gr), dot(value(3 * g + 2), b));'}
  }
  light = vec4(lux, texelFetch(uShown, texel, 0).r);
}`;

/** Places a corner. */
export const PLACE = `${HEAD}
layout(location = 0) in vec3 aAt;
layout(location = 1) in vec3 aOn;
layout(location = 2) in float aOwner;
uniform mat4 uLens;
out vec3 vAt;
out vec3 vOn;
flat out int vOwner;
void main() {
  vAt = aAt;
  vOn = aOn;
  vOwner = int(aOwner);
  gl_Position = uLens * vec4(aAt, 1.0);
}`;

/** What comes through haze to the eye from where a corner is. */
const THROUGH = `uniform vec3 uEye;
uniform float uExtinction;
float through() { return exp(-uExtinction * distance(uEye, vAt)); }`;

/**
 * The light that a surface throws back: between the middles of the texels
 * around, as far as those are not hidden (transport.Map.Tap).
 */
export const SURFACE = `${HEAD}
in vec3 vAt;
in vec3 vOn;
flat in int vOwner;
${THROUGH}
uniform sampler2D uSum;
uniform sampler2D uSurfaces; // two texels each: first, nu, nv, kind; finish and 1 for a twin
out vec4 value;

float turn(vec2 p) {
  float a = atan(p.y, p.x) / (2.0 * PI);
  return a < 0.0 ? a + 1.0 : a;
}

vec2 place(int kind) {
  if (kind == ${KIND.tube}) return vec2(turn(vOn.xy), clamp(vOn.z, 0.0, 1.0));
  if (kind == ${KIND.ball}) return vec2(turn(vOn.xy), clamp((vOn.z / length(vOn) + 1.0) / 2.0, 0.0, 1.0));
  return vOn.xy;
}

void main() {
  vec4 grid = texelFetch(uSurfaces, ivec2(0, vOwner), 0);
  vec4 finish = texelFetch(uSurfaces, ivec2(1, vOwner), 0);
  value = vec4(0, 0, 0, 1);
  if (!gl_FrontFacing) {
    if (finish.a > 0.0) discard; // its other side is drawn
    return;
  }
  int first = int(grid.x), nu = int(grid.y), nv = int(grid.z), kind = int(grid.w), across = textureSize(uSum, 0).x;
  vec2 at = place(kind) * vec2(grid.yz) - 0.5;
  ivec2 cell = ivec2(floor(at));
  vec2 part = at - vec2(cell);
  vec3 lux = vec3(0);
  float total = 0.0;
  for (int k = 0; k < 4; k++) {
    ivec2 far = ivec2(k & 1, k >> 1);
    vec2 near = mix(1.0 - part, part, vec2(far));
    ivec2 t = cell + far;
    t.x = kind == ${KIND.flat} ? clamp(t.x, 0, nu - 1) : (t.x + nu) % nu;
    t.y = clamp(t.y, 0, nv - 1);
    int texel = first + t.y * nu + t.x;
    vec4 light = texelFetch(uSum, ivec2(texel % across, texel / across), 0);
    float weight = near.x * near.y * light.a;
    lux += weight * light.rgb;
    total += weight;
  }
  if (total > 0.0) value.rgb = min(through() * finish.rgb * lux / total, 6e4);
}`;

/** The face of a lamp (transport.Source.Glare). */
export const LAMP = `${HEAD}
in vec3 vAt;
flat in int vOwner;
${THROUGH}
uniform sampler2D uLamps; // two texels each: facing and area; beam and 1 for one
uniform sampler2D uFaces; // what the camera sees of each
out vec4 value;

float intensity(vec3 beam, float c) {
  if (c >= 1.0 || beam.y == 0.0) return beam.x;
  float x = -log2(c) * beam.y;
  return beam.x * exp2(-(beam.z == 1.0 ? x : exp2(beam.z * log2(x))));
}

void main() {
  value = vec4(0, 0, 0, 1);
  if (!gl_FrontFacing) return;
  vec4 face = texelFetch(uLamps, ivec2(0, vOwner), 0);
  vec4 beam = texelFetch(uLamps, ivec2(1, vOwner), 0);
  float share = 1.0 / face.w; // pi times a luminance of 1/(pi area)
  if (beam.w > 0.0) {
    float c = dot(normalize(uEye - vAt), face.xyz);
    share = c <= 0.0 ? 0.0 : PI * intensity(beam.xyz, c) / (face.w * c);
  }
  int across = textureSize(uFaces, 0).x;
  value.rgb = min(through() * share * texelFetch(uFaces, ivec2(vOwner % across, vOwner / across), 0).rgb, 6e4);
}`;

/** What haze gives a picture: between the middles of its blocks (picture.Air). */
export const AIR = `${HEAD}
uniform sampler2D uSum;
uniform ivec2 uBlocks; // across and down
uniform vec2 uSize; // of the picture
out vec4 value;

vec3 block(ivec2 at) {
  at = clamp(at, ivec2(0), uBlocks - 1);
  int b = at.y * uBlocks.x + at.x, across = textureSize(uSum, 0).x;
  return texelFetch(uSum, ivec2(b % across, b / across), 0).rgb;
}

void main() {
  vec2 at = vec2(gl_FragCoord.x, uSize.y - gl_FragCoord.y) / uSize * vec2(uBlocks) - 0.5;
  ivec2 b = ivec2(floor(at));
  vec2 part = at - vec2(b);
  vec3 above = mix(block(b), block(b + ivec2(1, 0)), part.x);
  vec3 below = mix(block(b + ivec2(0, 1)), block(b + ivec2(1, 1)), part.x);
  value = vec4(mix(above, below, part.y), 0);
}`;

/** Makes a frame smaller, for glow. */
export const SHRINK = `${HEAD}
uniform sampler2D uFrame;
uniform ivec2 uSize; // of what it becomes
out vec4 value;
void main() {
  ivec2 from = textureSize(uFrame, 0);
  ivec2 at = ivec2(gl_FragCoord.xy);
  ivec2 low = at * from / uSize, high = max(low + 1, (at + 1) * from / uSize);
  vec3 sum = vec3(0);
  for (int y = low.y; y < high.y; y++) {
    for (int x = low.x; x < high.x; x++) sum += texelFetch(uFrame, ivec2(x, y), 0).rgb;
  }
  value = vec4(sum / float((high.x - low.x) * (high.y - low.y)), 1);
}`;

/** One way of a Gaussian; light that would leave the picture stays at its edge. */
export const BLUR = `${HEAD}
uniform sampler2D uFrame;
uniform vec2 uWay; // a pixel along it
uniform float uSigma; // pixels
out vec4 value;
void main() {
  vec2 at = gl_FragCoord.xy / vec2(textureSize(uFrame, 0));
  int reach = int(ceil(3.0 * uSigma));
  vec3 sum = vec3(0);
  float total = 0.0;
  for (int i = -reach; i <= reach; i++) {
    float w = exp(-0.5 * float(i * i) / (uSigma * uSigma));
    sum += w * texture(uFrame, at + float(i) * uWay).rgb;
    total += w;
  }
  value = vec4(sum / total, 1);
}`;

/** From camera values to the screen (picture.Curve, picture.Band). */
export const DEVELOP = `${HEAD}
uniform sampler2D uFrame;
uniform sampler2D uSoft;
uniform sampler2D uSofter;
uniform float uGlow; // share that is spread
uniform mat3 uMatrix;
uniform float uClip, uScale, uWhite;
uniform float uOver;
uniform bool uBands;
uniform float uMost; // linear light of the screen's full
out vec4 shown;

float bent(float d) {
  float x = (min(d, ${float(2 * BEND.limit)}) - ${float(BEND.from)}) / ${float(BEND_SCALE)};
  return ${float(BEND.from)} + ${float(BEND_SCALE)} * x / pow(1.0 + pow(x, ${float(BEND.power)}), ${float(1 / BEND.power)});
}

vec3 drawnIn(vec3 v) {
  float most = max(v.r, max(v.g, v.b));
  if (!(most > 0.0)) return v;
  for (int c = 0; c < 3; c++) {
    float d = (most - v[c]) / most;
    if (d > ${float(BEND.from)}) v[c] = most * (1.0 - bent(d));
  }
  return v;
}

vec3 encoded(vec3 v) {
  v = clamp(v, 0.0, 1.0);
  return mix(1.055 * pow(v, vec3(1.0 / 2.4)) - 0.055, 12.92 * v, vec3(lessThanEqual(v, vec3(0.0031308))));
}

vec3 decoded(vec3 v) {
  return mix(pow((v + 0.055) / 1.055, vec3(2.4)), v / 12.92, vec3(lessThanEqual(v, vec3(0.04045))));
}

vec3 band(float value) {
  if (!(value > 0.0)) return vec3(0);
  float stops = log2(value / ${float(GREY)});
  if (stops < -6.5) return vec3(0);
  if (stops >= uOver) return vec3(1);
  float n = min(floor(abs(stops) + 0.5) * sign(stops), 6.0);
  if (n < 0.0) return floor(vec3(24.0, 70.0, 110.0) * (1.0 + n / 7.0) + vec3(0, 0, 50)) / 255.0;
  if (n > 0.0) return floor(vec3(150, 110, 40) + vec3(100, 110, 60) * n / 6.0) / 255.0;
  return vec3(118.0 / 255.0);
}

void main() {
  vec3 v = texelFetch(uFrame, ivec2(gl_FragCoord.xy), 0).rgb;
  if (uGlow > 0.0) {
    vec2 at = gl_FragCoord.xy / vec2(textureSize(uFrame, 0));
    v = (1.0 - uGlow) * v + 0.5 * uGlow * (texture(uSoft, at).rgb + texture(uSofter, at).rgb);
  }
  vec3 code;
  if (uBands) {
    code = band(max(v.r, max(v.g, v.b)));
  } else {
    vec3 x = uScale * max(drawnIn(uMatrix * min(v, uClip)), 0.0);
    code = encoded(x * (1.0 + x / (uWhite * uWhite)) / (1.0 + x));
  }
  shown = vec4(uMost < 1.0 ? encoded(uMost * decoded(code)) : code, 1);
}`;
