// Makes css_colors.csv: npm install colorjs.io@0.7.1 culori@4.0.2, then node css_colors.mjs > css_colors.csv
import Color from "colorjs.io";
import * as culori from "culori";
const xyz = culori.converter("xyz65");
const t = [];
for (const n of Object.keys(culori.colorsNamed ?? {})) t.push(n);
t.push("#f80","#F80","#f80c","#12a4ef","#12A4EF80","#000001");
for (const a of ["255 128 0","12 200 99","1.5 250.25 30","100% 50% 0%","12% 34.5% 90%","255 50% 0","none 200 50","1e2 2e1 .5","300 -20 40","0 0 255 / 50%","0 0 255 / .3"]) t.push(`rgb(${a})`);
t.push("rgb(255, 128, 0)","rgba(12, 200, 99, 0.5)","rgb(10%, 20%, 90%)","rgba(10% 20% 90% / 40%)","RGB(10 20 30)");
for (const h of ["0","30","75.5","120","186","240deg","300","0.7turn","200grad","2.5rad","-60","750"]) t.push(`hsl(${h} 80% 45%)`,`hwb(${h} 20% 15%)`,`lch(55% 60 ${h})`,`oklch(65% 0.18 ${h})`);
t.push("hsl(210, 60%, 40%)","hsla(210, 60%, 40%, 0.5)","hsl(210 60 40)","hsl(none 60% 40%)","hwb(90 70% 60%)","hwb(90 10 20)");
for (const a of ["50 40 -30","50% 40% -30%","29.2345% 39.3825 20.0664","80 -90 60","10 5 -60","70 none 30","3 2 1","52 126 80 / 0.4"]) t.push(`lab(${a})`);
for (const a of ["50 120% 20","29.2345% 44.2 27","67.5345% 42.5 258.2","20 130 310","90 none 40"]) t.push(`lch(${a})`);
for (const a of ["0.4 0.1 -0.2","40% 20% -60%","40.1% 0.1143 0.045","0.9 -0.3 0.2","0.2 0.05 -0.3"]) t.push(`oklab(${a})`);
for (const a of ["0.7 0.3 150","70% 100% 30","59.69% 0.156 49.77","0.3 0.25 264","0.5 none 10"]) t.push(`oklch(${a})`);
const tri = ["1 0 0","0 1 0","0 0 1","1 1 1","0.2 0.7 0.4","0.9 0.35 0.02","10% 50% 90%","0.01 0.02 0.03","-0.1 0.5 0.4","1.2 0.6 -0.05","0.3 none 0.8"];
for (const s of ["srgb","srgb-linear","display-p3","display-p3-linear","a98-rgb","prophoto-rgb","rec2020","xyz","xyz-d50","xyz-d65"]) for (const a of tri) t.push(`color(${s} ${a})`);
// Both sides of the knees of the curves.
t.push("color(srgb 0.0392 0.0398 0.0404)","color(srgb 0.0406 0.0405 -0.0398)","lab(7.94 0.1 -0.1)","lab(8.06 0.1 -0.1)","color(prophoto-rgb 0.0311 0.0313 -0.0312)");
const rows = [];
for (const x of t) {
  let j="", k="";
  try { const c=new Color(x).to("xyz-d65").coords.map(v=>v??0); j=[...c].map(Number).map(v=>v.toPrecision(12)).join(","); } catch(e) { j=",,"; }
  try { const c=xyz(x); k=[c.x,c.y,c.z].map(v=>(v??0).toPrecision(12)).join(","); } catch(e) { k=",,"; }
  rows.push(`"${x}",${j},${k}`);
}
console.log(`# XYZ (D65, white Y = 1) of CSS colours by two general-purpose libraries.`);
console.log(`# X,Y,Z: npm colorjs.io 0.7.1 (MIT), new Color(css).to("xyz-d65"). Xc,Yc,Zc: npm culori 4.0.2 (MIT), converter("xyz65")(css). Made once with node 20; empty where a library does not read the colour.`);
console.log(`css,X,Y,Z,Xc,Yc,Zc`);
console.log(rows.join("\n"));
