// The plan: the service's own drawing as images from memory; where drawings are not served, posts
// and bays at the reply's own places. Touches the figure that it is given.

import { drawn, el } from "./dom.js";

let shown = [];

const VIEW = /<view id="drawing-\d+" viewBox="([^"]*)"><title>([^<]*)</g;
const SEEN = /viewBox="[^"]*" width="[^"]*" height="[^"]*"/;

// Show each view of a drawing as an <img>, in which nothing can run or reach anything; the whole
// drawing opens in a tab of its own. The page's policy lets no text become elements, so a view is
// cut out of the text: which part of the drawing is seen is said in its first element. Where there
// are several, each stands under its title.
export function showDrawing(figure, svg, words) {
  forget();
  const whole = { href: address(svg), target: "_blank" };
  const views = [...svg.matchAll(VIEW)].map(([, box, title]) => ({ cut: cutOut(svg, box), title }));
  if (!views.length) views.push({ cut: svg });
  figure.replaceChildren(...views.flatMap(({ cut, title }, i) => [
    views.length > 1 && el("p", {}, title),
    el("a", whole, el("img", { src: address(cut), alt: i ? title : words }),
      i === views.length - 1 && el("span", {}, "Open the drawing by itself")),
  ]).filter(Boolean));
}

// The drawing with only a box in view: x y width height in mm.
function cutOut(svg, box) {
  const [, , width, height] = box.split(" ");
  return svg.replace(SEEN, `viewBox="${box}" width="${width}mm" height="${height}mm"`);
}

function address(svg) {
  shown.push(URL.createObjectURL(new Blob([svg], { type: "image/svg+xml" })));
  return shown.at(-1);
}

// Show posts and the bays between them from above, y up. why: the reason why there is no drawing.
export function showPosts(figure, reply, why) {
  forget();
  const posts = reply.posts.filter((post) => post.base?.length);
  const corners = posts.flatMap((post) => post.base);
  if (!corners.length) {
    figure.replaceChildren();
    return;
  }
  const at = Object.fromEntries(posts.map((post) => [post.id, post.at]));
  const [xs, ys] = [0, 1].map((axis) => corners.map((corner) => corner[axis]));
  const [left, low] = [Math.min(...xs), Math.min(...ys)];
  const [wide, high] = [Math.max(...xs) - left, Math.max(...ys) - low];
  const edge = Math.max(wide, high) * 0.06;
  const size = edge * 0.55;
  const line = ([from, to]) => drawn("line", { x1: from[0], y1: -from[1], x2: to[0], y2: -to[1] });
  const box = [left - edge, -(low + high) - edge, wide + 2 * edge, high + 2 * edge];
  figure.replaceChildren(
    drawn("svg", { viewBox: box.join(" "), role: "img", "aria-label": "Posts and bays from above" },
      drawn("g", { class: "bays", "stroke-width": size / 6 }, lines(reply, at).map(line)),
      posts.map((post) => drawn("polygon", {
        class: "post", points: post.base.map(([x, y]) => `${x},${-y}`).join(" "),
      })),
      posts.map((post) => drawn("text", {
        x: post.at[0] + size / 2, y: -post.at[1] - size / 2, "font-size": size,
      }, post.id))),
    el("figcaption", {}, `Posts and bays only: ${why}.`));
}

// The lines of bays. Of a bay at a wall only the post's end is known; it is drawn as long as its
// run is.
function lines(reply, at) {
  const found = reply.bays.filter((bay) => at[bay.from] && at[bay.to])
    .map((bay) => [at[bay.from], at[bay.to]]);
  for (const run of reply.runs) {
    const post = at[run.from ?? run.to];
    const next = reply.bays.find((bay) => bay.run === run.id && at[bay.from] && at[bay.to]);
    if (!post || (run.from && run.to) || !next) continue;
    const [from, to] = run.from ? [at[next.from], at[next.to]] : [at[next.to], at[next.from]];
    const apart = Math.hypot(to[0] - from[0], to[1] - from[1]);
    const along = [0, 1].map((axis) => post[axis] + ((to[axis] - from[axis]) / apart) * run.length);
    found.push([post, along]);
  }
  return found;
}

function forget() {
  shown.forEach((each) => URL.revokeObjectURL(each));
  shown = [];
}
