// Answers questions about colours by npm colorjs.io (MIT), an implementation of
// its own: one JSON object in, one out. Arguments: the folder of npm modules.
import { pathToFileURL } from "node:url";
import { join } from "node:path";
import { readFileSync } from "node:fs";

const folder = join(process.argv[2], "colorjs.io", "src");
const load = (file) => import(pathToFileURL(join(folder, file)).href);
const { default: Color } = await load("index.js");
const { environment, toCam16 } = await load("spaces/cam16.js");

const plain = (coords) => coords.map((v) => (v === null || Number.isNaN(v) ? 0 : Number(v)));
const to = (space, xyz) => plain(new Color("xyz-d65", xyz).to(space).coords);

const ask = JSON.parse(readFileSync(0, "utf8"));
const answer = {
  lab: ask.xyz.map((c) => to("lab-d65", c)),
  luv: ask.xyz.map((c) => to("luv", c)),
  oklab: ask.xyz.map((c) => to("oklab", c)),
  // deltaE takes Lab as it is only in its own D50 space; the formula knows no white.
  de2000: ask.labs.map(([a, b]) => new Color("lab", a).deltaE(new Color("lab", b), "2000")),
  cam16: ask.views.map(({ white, adapting, background, surround, discount, xyz }) => {
    const seen = toCam16(xyz, environment(white, adapting, background, surround, discount));
    return [seen.J, seen.C, seen.h, seen.M, seen.Q, seen.s, seen.H];
  }),
  css: ask.css.map((text) => plain(new Color(text).to("xyz-d65").coords)),
};
process.stdout.write(JSON.stringify(answer));
