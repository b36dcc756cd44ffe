// The pure modules of the counter page, by values worked by hand. Run by test_counter.py, which
// names the folder of the modules in MODULES, of the example requests in EXAMPLES, and the deck schema
// in SCHEMA.
import assert from "node:assert/strict";
import { readFileSync, readdirSync } from "node:fs";
import { join } from "node:path";
import test from "node:test";
import { pathToFileURL } from "node:url";

import { fitting, series } from "./fitting.mjs";

const load = (name) => import(pathToFileURL(join(process.env.MODULES, name)));
const { convert, leftText, pointed, readBack, readLength, readNumber, tapeText } = await load("lengths.js");
const { addColumn, addLevel, addNoPost, addOpening, addRow, blankFlight, bound, hidden, insertRow, removeLevel, removeRow,
  sayEdge, switchUnit, switchWay } = await load("model.js");
const { fillKinds } = await load("amendments.js");
const { problemOf } = await load("ask.js");
const { otherInfill } = await load("comparing.js");
const { coordinate } = await load("coordinates.js");
const { cornersOf } = await load("corners.js");
const { figuresOf, grouped, ownWords } = await load("figures.js");
const { freshForm, fromDocument, toDocument } = await load("document.js");
const { read, takeIn } = await load("changes.js");
const { opened } = await load("opened.js");
const { losing, press } = await load("buttons.js");
const { marks } = await load("marks.js");
const { listBays } = await load("measures.js");
const { addSticks } = await load("onhand.js");
const { followDrop } = await load("openings.js");
const { closingSide } = await load("outline.js");
const { edgeEnds, edgeName } = await load("ends.js");
const { fieldOf, placeErrors } = await load("places.js");
const { ownIds, placeWords, plainly, taped } = await load("plainly.js");
const { asksBeneath, asksDrop, asksOccupants, asksSite } = await load("asked.js");
const { asksPanes, flightPanes, paneOfAll, setPane } = await load("panes.js");
const { ends, offcut, pieces } = await load("saw.js");
const { firstFrom, runs } = await load("framing.js");
const { doubts, houses, past } = await load("doubts.js");
const { fieldWords, keptWords } = await load("fieldwords.js");
const { differing } = await load("differing.js");
const { percentOf, shareOf } = await load("money.js");
const { basesOf, sizesOf, usualBasis } = await load("pricing.js");
const { fillSizes, goByUnit, isFor, listPrices, pricesOf } = await load("prices.js");
const { deckLine } = await load("deckline.js");
const { lacks, otherWays } = await load("compared.js");
const { patched } = await load("patch.js");
const { madeWords, withChange } = await load("made.js");
const { together } = await load("together.js");
const { trouble } = await load("trouble.js");
const { watch, within } = await load("waiting.js");
const { wheres } = await load("wheres.js");
const { broughtBy, codeWords, cured, flags, goesBy, sentence, shortVerdict, sortFindings, spans, unbroken, verdict } = await load("words.js");

const EXAMPLE = JSON.parse(readFileSync(join(process.env.MODULES, "start.json"), "utf8"));
const copy = (value) => JSON.parse(JSON.stringify(value));
const example = () => fromDocument(copy(EXAMPLE));

test("lengths go out as the contract writes them", () => {
  const cases = [
    ["48", 48], [" 58.25 ", 58.25], [".5", 0.5], ["", undefined], ["  ", undefined],
    ["12' 6 1/2\"", "12' 6 1/2\""], ["2.4 m", "2.4 m"], ["12\u2019 6\u00bd\u201d", "12' 6 1/2\""],
    ["12 ft 6 in", "12' 6\""], ["12ft6in", "12'6\""], ["6 1/2", "6 1/2\""], ["3/4", "3/4\""],
    ["12' 6", "12' 6\""], ["12'-6 1/2", "12'-6 1/2\""], ["6''", "6\""], ["78 3/8 inches", "78 3/8\""],
    ["12 feet", "12'"], ["20 fx", "20 fx"],
    ["12\u00b4 6`\u00b4", "12' 6\""], ["350 cm", "3500 mm"], ["12.5'", "150\""], // 12.5 x 12
    ["20 meters", "20 m"], ["2.5 Metres", "2.5 m"], ["900millimetres", "900 mm"], ["30 centimeters", "300 mm"],
    ["12.1 ft", "145.2\""], ["6-1/2", "6 1/2\""], ["12' 6-1/2\"", "12' 6 1/2\""],
    ["12' - 6\"", "12'-6\""], ["12 ft - 6 1/2 in", "12'-6 1/2\""], ["12' \u2013 6", "12'-6\""],
    ["12' 6\" 1/2", "12' 6 1/2\""], ["6\" 3/16\"", "6 3/16\""], ["12\u02b9 6\u02ba", "12' 6\""],
    ["12 1/2'", "150\""], ["16 3/4 ft", "201\""], // 12.5 x 12, 16.75 x 12
    ["12 0/4'", "144\""], ["12 2/3 ft", "152\""], // 12 x 12, 12 x 12 + 8
    ["12 17/16'", "12 17/16'"], ["12 6/1 ft", "12 6/1'"], ["12 4/4'", "12 4/4'"], ["12 1/0'", "12 1/0'"],
    ["12-6", "12-6"], ["12 6", "12 6"], // feet and inches, or a range: nobody can know
  ];
  for (const [typed, sent] of cases) assert.deepEqual(readLength(typed, "in"), sent, typed);
  // In millimetres a bare fraction has no unit: the service says so.
  assert.equal(readLength("3/4", "mm"), "3/4");
});

test("a decimal comma is a point, but where it may part thousands", () => {
  const cases = [
    ["6,0 m", "6.0 m"], ["2,45m", "2.45m"], ["240,5 cm", "2405 mm"], ["48,5", 48.5], ["2400,25", 2400.25], [",5", 0.5],
    ["-0,5", -0.5], ["78,5 in", "78.5\""], ["12' 6,5\"", "12' 6.5\""], ["12,5 ft", "150\""], // 12.5 x 12
    ["0,625", 0.625], ["2400,125 mm", "2400.125 mm"], ["12,5000", 12.5], // no thousands begin with 0, or after four digits
    ["2,400 m", "2.400 m"], ["1,250 metres", "1.250 m"], // no deck is two kilometres long
    ["12,500", "12,500"], ["1,200 mm", "1,200 mm"], ["1,200 cm", "1,200 cm"], ["12,500'", "12,500'"],
    ["1.234,5", "1.234,5"], ["1,234.5", "1,234.5"], ["1,2,3", "1,2,3"], ["6, 5", "6, 5"], ["6,", "6,"],
  ];
  for (const [typed, sent] of cases) assert.deepEqual(readLength(typed, "mm"), sent, typed);
  assert.deepEqual(["22,5°", "-22,5", "22,500"].map(readNumber), [22.5, -22.5, "22,500"]);
  assert.deepEqual([["20,5", "in"], ["2400,5", "mm"], ["12,500", "in"]].map(([typed, unit]) => readBack(typed, unit)),
    ["= 1' 8 1/2\"", "= 2.4005 m", ""]);
  assert.deepEqual([convert("48,5", "mm"), convert("12,500", "mm"), convert("2,4 m", "in")],
    ["1231.9", "12,500", "2,4 m"]); // 48.5 x 25.4
  assert.equal(coordinate("-2,4 m", "mm"), -2400);
  assert.deepEqual(["61,50", "1,250", "1.250,00", "-61,5"].map(pointed), ["61.50", "1,250", "1.250,00", "-61.5"]);
});

test("numbers stay numbers, and what is none goes on to be refused", () => {
  assert.deepEqual(["-90", "\u221290", "7", "", "x", "45°", "-22.5 °"].map(readNumber),
    [-90, -90, 7, undefined, "x", 45, -22.5]);
});

test("a switch of the unit converts plain numbers by 25.4 and leaves texts", () => {
  assert.equal(convert("48", "mm"), "1219.2"); // 48 * 25.4
  assert.equal(convert("1219.2", "in"), "48");
  assert.equal(convert("20'", "mm"), "20'");
  assert.equal(convert("44 7/8", "mm"), "44 7/8\"");
  assert.equal(convert("-6 1/2", "mm"), "-6 1/2\"");
  assert.equal(convert("", "mm"), "");
  const form = example();
  switchUnit(form, "mm");
  assert.equal(form.levels[0].drop, "1219.2");
  assert.equal(form.levels[0].rectangle.width, "20'");
  assert.equal(toDocument(form).document.unit, "mm");
});

test("tape text of a number, by the nearest mark of the document's precision", () => {
  const cases = [[514, "42' 10\""], [43.0625, "3' 7 1/16\""], [48, "4'"], [0, "0\""], [0.75, "3/4\""],
    [12.5, "1' 0 1/2\""], [11.9999, "1'"],
    [5.015625, "5\""], // 1/64 is nearer to 0 than to 1/16
    [5.046875, "5 1/16\""], // 3/64 is nearer to 4/64
    [5.03125, "5\""]]; // 1/32 is between two marks: the lesser
  for (const [value, text] of cases) assert.equal(tapeText(value, "in", 0.0625), text);
  assert.equal(tapeText(5.015625, "in", 1 / 64), "5 1/64\"");
  assert.equal(tapeText(13055.6, "mm", 1), "13056 mm");
  assert.equal(tapeText(920.3, "mm", 0.5), "920.5 mm");
});

test("what is left is read down to the mark", () => {
  const cases = [[30.99, "in", 1 / 16, "2' 6 15/16\""], [30.99995, "in", 1 / 16, "2' 7\""],
    [187.5, "mm", 1, "187 mm"], [187.5, "mm", 0.5, "187.5 mm"], [0.03, "in", 1 / 16, "0\""]];
  for (const [value, unit, step, text] of cases) assert.equal(leftText(value, unit, step), text);
});

test("ends as a saw is set: off square by what is left to 90", () => {
  const cases = [[[90, 90], "square"], [[57.9946, 57.9946], "both 58° (saw 32°)"],
    [[90, 45], "square; 45° (saw 45°)"], [[45, 45], "both 45° (saw 45°)"],
    [[100.04, 100.04], "both 100° (saw 10°)"]];
  for (const [cuts, told] of cases) assert.equal(ends({ end_cuts: cuts }), told);
});

test("an end within a saw's tenth of square is square, and slanted ends say which way they lean", () => {
  const cases = [[[90, 90.04], undefined, "square"], [[90, 90.06], undefined, "square; 90.1° (saw 0.1°)"],
    [[45, 45], "opposite_ways", "both 45° (saw 45°), leaning opposite ways"],
    [[40, 45], "same_way", "40° (saw 50°); 45° (saw 45°), leaning the same way"],
    [[45, 89.96], "same_way", "45° (saw 45°); square"]];
  for (const [cuts, lean, told] of cases) assert.equal(ends({ end_cuts: cuts, ends_lean: lean }), told);
});

test("pieces of a stick are read as the cut list reads them", () => {
  const reply = { unit: "in", precision: 1 / 16, cut_list: [
    { part: "rail", length: 44.5625, length_text: "3' 8 9/16\"" },
    // A blank is told up to the mark, 36 5/64 as 36 1/8, where the nearest would be 36 1/16.
    { part: "rail", length: 35, length_text: "2' 11\"", blank: 36.078125, blank_text: "3' 0 1/8\"" },
    { part: "other", length: 36.078125, length_text: "none of it" },
  ] };
  const stick = { pieces: [44.5625, 44.5625, 36.078125, 12.01], offcut: 3.11 };
  assert.deepEqual(pieces(reply, "rail", stick),
    ["2 \u00d7 3' 8 9/16\"", "3' 0 1/8\" blank", "1'"]);
  assert.equal(offcut(reply, stick), "3 1/16\""); // 3.11 is between 3 1/16 and 3 1/8
});

test("the first deck is 20 ft by 12 ft, a wall at edge 2", () => {
  const { document } = toDocument(example());
  assert.deepEqual(document, EXAMPLE);
});

// Lists whose order means nothing, and what is the same as leaving it out.
function plain(deck) {
  const told = copy(deck);
  for (const level of told.levels) {
    level.edges = (level.edges ?? []).sort((a, b) => a.edge - b.edge);
    if (!level.edges.length) delete level.edges;
  }
  return told;
}

test("every example of the contract comes back as it was opened", () => {
  const names = readdirSync(process.env.EXAMPLES).filter((name) => name.endsWith(".request.json"));
  assert.ok(names.length > 10);
  for (const name of names) {
    const deck = JSON.parse(readFileSync(join(process.env.EXAMPLES, name), "utf8"));
    assert.deepEqual(plain(toDocument(fromDocument(deck)).document), plain(deck), name);
  }
});

test("what is no deck document is said to be none", () => {
  const unfit = [null, [], {}, { unit: "ft" }, { unit: "in", guard: {}, levels: [] },
    { unit: "in", guard: {}, levels: [{ outline: {} }] },
    { unit: "in", guard: {}, levels: [EXAMPLE.levels[0], null] },
    { unit: "in", guard: {}, levels: [EXAMPLE.levels[0], { outline: { points: 7 } }] }];
  for (const each of unfit) assert.throws(() => fromDocument(each), /no deck document/);
  // What is no list where one belongs would be lost as soon as a row is put there.
  for (const name of ["stairs", "site_measures", "stock_on_hand"]) {
    for (const value of [{}, null, "x", 5]) {
      assert.throws(() => fromDocument({ ...copy(EXAMPLE), [name]: value }), new RegExp(`its ${name} is no list`));
    }
  }
  for (const name of ["edges", "openings", "obstructions", "no_post"]) {
    const [level] = copy(EXAMPLE).levels;
    assert.throws(() => fromDocument({ ...copy(EXAMPLE), levels: [{ ...level, [name]: {} }] }),
      new RegExp(`its ${name} is no list`));
  }
});

test("what the form does not show is named and kept", () => {
  const note = { of: 90 };
  const form = fromDocument({ ...copy(EXAMPLE), note, site: 7 });
  assert.deepEqual(hidden(form), ["note", "site"]);
  assert.deepEqual(hidden(example()), []);
  assert.deepEqual([toDocument(form).document.note, toDocument(form).document.site], [note, 7]);
});

test("who uses the deck goes out as it was sent, and not where nobody has said it", () => {
  const sent = [{}, { occupancy: "dwelling" }, { occupancy: "shared", occupants: 60 }, { occupants: 1 },
    { occupancy: "a club" }]; // No word of the contract: the service says so, at its field.
  for (const said of sent) {
    const { document, places } = toDocument(fromDocument({ ...copy(EXAMPLE), ...said }));
    const { occupancy, occupants } = document;
    assert.deepEqual(copy({ occupancy, occupants }), said);
    assert.deepEqual([places["/occupancy"], places["/occupants"]], ["occupancy", "occupants"]);
  }
  const form = example();
  form.occupants = "twelve";
  assert.equal(toDocument(form).document.occupants, "twelve");
});

test("how many people a deck is for is asked where the code goes by it, or where it is said", () => {
  const figure = (measure) => ({ stair_width: { value: 36, when: [{ measure: "going", from: 11 }, { measure, from: 50 }] } });
  const codes = [{ id: "crowds", figures: figure("occupants") }, { id: "uses", figures: figure("occupancy") },
    { id: "plain", figures: { guard_height: { value: 36 }, odd: null } }];
  const asked = (more) => asksOccupants({ ...example(), ...more }, codes);
  assert.deepEqual(["crowds", "uses", "plain", "not-loaded", ""].map((code) => asked({ code })),
    [true, false, false, false, false]);
  assert.equal(asked({ code: "plain", occupants: "60" }), true);
  const { kept } = example();
  assert.equal(asked({ code: "*", kept: { ...kept, code: codes[0] } }), true);
  assert.equal(asked({ code: "*", kept: { ...kept, code: codes[2] } }), false);
});

test("what is below the edges is asked where the code goes by it and there is glass, or where it is said", () => {
  const when = [{ measure: "beneath", is: "shielded" }];
  const codes = [{ id: "glazing", figures: { glass_make: { value: "laminated", when } } }, { id: "plain", figures: {} }];
  const asked = (code, infill, change = () => {}) => {
    const form = { ...example(), code, infill };
    change(form.levels[0]);
    return asksBeneath(form, codes);
  };
  assert.deepEqual([asked("glazing", "glass"), asked("glazing", "picket"), asked("plain", "glass")],
    [true, false, false]);
  assert.equal(asked("glazing", "picket", (level) => { level.edges[1].infill = "glass"; }), true);
  assert.equal(asked("plain", "picket", (level) => { level.beneath = "walked"; }), true);
  for (const beneath of ["walked", "shielded", undefined, "a pond"]) {
    const deck = { ...copy(EXAMPLE), levels: [{ ...copy(EXAMPLE).levels[0], beneath }] };
    const { document, places } = toDocument(fromDocument(deck));
    assert.equal(document.levels[0].beneath, beneath);
    assert.equal(places["/levels/0/beneath"], "beneath");
  }
});

test("drops to the ground and to the next level are asked where the code goes by them, or where they are said", () => {
  const codes = [{ id: "ground", figures: { guard_height: { when: [{ measure: "drop_to_ground", above: 71 }] } } },
    { id: "plain", figures: { guard_height: { when: [{ measure: "drop", above: 71 }] } } }];
  const asked = (code, change = () => {}) => {
    const form = { ...example(), code };
    change(form.levels[0]);
    return ["drop_to_ground", "drop_to_next_level"].map((name) => asksDrop(form, codes, name));
  };
  assert.deepEqual([asked("ground"), asked("plain"), asked("")], [[true, false], [false, false], [false, false]]);
  assert.deepEqual(asked("plain", (level) => { level.edges[1].drop_to_next_level = "9'"; }), [false, true]);
  const form = example();
  const [level] = form.levels;
  Object.assign(level, { drop_to_ground: "80", drop_to_next_level: "15'" });
  Object.assign(level.edges[1], { drop_to_ground: "90", beneath: "shielded" });
  switchUnit(form, "mm"); // 80 x 25.4 = 2032, 90 x 25.4 = 2286
  const { document, places } = toDocument(form);
  assert.deepEqual([document.levels[0].drop_to_ground, document.levels[0].drop_to_next_level], [2032, "15'"]);
  assert.deepEqual(document.levels[0].edges[0], { edge: 1, beneath: "shielded", drop_to_ground: 2286 });
  assert.equal(places["/levels/0/drop_to_ground"], "drop_to_ground");
  assert.equal(places["/levels/0/edges/0/drop_to_ground"], "edges.1.drop_to_ground");
});

test("which pane is asked where there is glass and a choice, and goes to all edges at once", () => {
  const pane = (nominal) => ({ nominal, type: "tempered" });
  const kits = [{ id: "two", unit: "in", glass: { panes: [pane(0.25), pane(0.375)] } },
    { id: "mm", unit: "mm", glass: { panes: [pane(10), { nominal: 12 }] } },
    { id: "one", unit: "in", glass: { panes: [pane(0.5)] } }, { id: "none", unit: "in" }];
  const asked = (kit, infill) => asksPanes({ ...example(), kit, infill }, kits);
  assert.deepEqual(asked("two", "glass"), ["1/4\", tempered", "3/8\", tempered"]);
  assert.deepEqual(asked("mm", "glass"), ["10 mm, tempered", "12 mm"]);
  for (const [kit, infill] of [["two", "picket"], ["one", "glass"], ["none", "glass"], ["lost", "glass"]]) {
    assert.deepEqual(asked(kit, infill), [], kit);
  }
  const form = { ...example(), kit: "one", infill: "picket" };
  const [{ edges }] = form.levels;
  edges[1].glass = "1"; // Said of it already, whatever stands there.
  assert.deepEqual(asksPanes(form, kits), ["1/2\", tempered"]);
  form.infill = "glass";
  assert.equal(paneOfAll(form), null); // Edges 0 and 3 have another.
  edges[0].infill = edges[3].infill = "picket";
  assert.equal(paneOfAll(form), "1");
  setPane(form, "");
  assert.equal(paneOfAll(form), "");
  setPane(form, "1");
  assert.deepEqual(toDocument(form).document.levels[0].edges.map(({ edge, glass }) => [edge, glass]),
    [[0, 1], [1, 1], [2, 1], [3, 1]]);
});

test("a rectangle turns into a walk and into corners", () => {
  const walk = example();
  switchWay(walk.levels[0], "sides", "in");
  const side = (length) => ({ length, turn: 90 });
  assert.deepEqual(toDocument(walk).document.levels[0].outline,
    { sides: [side("20'"), side("12'"), side("20'"), side("12'")] });
  const corners = example();
  switchWay(corners.levels[0], "points", "in");
  assert.deepEqual(toDocument(corners).document.levels[0].outline,
    { points: [[0, 0], [240, 0], [240, 144], [0, 144]] });
  assert.deepEqual(toDocument(corners).document.levels[0].edges, [{ edge: 2, condition: "wall" }]);
});

test("one length of a walk may be left out", () => {
  const form = example();
  switchWay(form.levels[0], "sides", "in");
  form.levels[0].sides[3].length = "";
  assert.deepEqual(toDocument(form).document.levels[0].outline.sides[3], { turn: 90 });
});

test("a row that goes takes its edge with it, and later openings move", () => {
  const form = example();
  switchWay(form.levels[0], "sides", "in");
  addRow(form.levels[0]); // five sides, edge 4 a guard
  addOpening(form.levels[0]);
  form.levels[0].openings[0].edge = "3";
  removeRow(form.levels[0], 1); // the wall was edge 2 and is edge 1
  const [level] = toDocument(form).document.levels;
  assert.deepEqual(level.edges, [{ edge: 1, condition: "wall" }]);
  assert.equal(level.openings[0].edge, 2);
  assert.equal(level.outline.sides.length, 4);
});

test("a row comes between two, its edge with it, and later openings move", () => {
  const form = example();
  const [level] = form.levels;
  switchWay(level, "sides", "in");
  for (const [i, edge] of ["0", "1", "3"].entries()) {
    addOpening(level);
    level.openings[i].edge = edge;
  }
  level.edges[1].height = "42";
  sayEdge(level, 2); // the wall
  insertRow(level, 1);
  assert.deepEqual(level.sides.map(({ length }) => length), ["20'", "12'", "", "20'", "12'"]);
  assert.deepEqual(level.openings.map(({ edge }) => edge), ["0", "1", "4"]);
  assert.deepEqual(level.edges.map(({ condition, height }) => condition + height),
    ["guard", "guard42", "guard", "wall", "guard"]);
  // Of two tapes, A to 1 to 2 to B: a corner between 1 and 2 parts edge 1, which goes on as edge 2.
  const tied = example();
  switchWay(tied.levels[0], "ties", "in");
  tied.levels[0].edges[1].height = "42";
  tied.levels[0].edges[2].height = "36";
  insertRow(tied.levels[0], 0);
  assert.deepEqual(tied.levels[0].edges.map(({ condition, height }) => condition + height),
    ["guard", "guard42", "guard", "guard36", "wall"]);
});

test("of two tapes the last line is the house, which need not be said", () => {
  const form = example();
  switchWay(form.levels[0], "ties", "in");
  assert.equal(form.levels[0].edges.length, 4); // A to 1, 1 to 2, 2 to B, B to A
  assert.equal(form.levels[0].edges[3].condition, "wall");
  assert.equal(toDocument(form).document.levels[0].edges, undefined);
  addRow(form.levels[0]);
  assert.deepEqual(form.levels[0].edges.map((edge) => edge.condition),
    ["guard", "guard", "guard", "guard", "wall"]);
});

test("a flight goes down from its opening", () => {
  const form = example();
  addOpening(form.levels[0]);
  Object.assign(form.levels[0].openings[0], { from: "8'", width: "48" });
  form.levels[0].openings[0].flight = { ...blankFlight(), rise: "48", risers: "7", going: "10 1/2",
    guards: { left: true, right: false }, handrail: { left: false, right: false } };
  const { document, places } = toDocument(form);
  assert.deepEqual(document.levels[0].openings,
    [{ id: "A", edge: 0, from: "8'", width: 48, use: "stair" }]);
  assert.deepEqual(document.stairs, [{ id: "A", opening: "main/A", rise: 48, risers: 7,
    going: "10 1/2\"", guards: ["left"] }]);
  assert.equal(places["/stairs/0/going"], "openings.0.flight.going");
  Object.assign(form.levels[0].openings[0].flight, { height: "36", foot_post: "ground" });
  const [stair] = toDocument(form).document.stairs;
  assert.deepEqual([stair.height, stair.foot_post], [36, "ground"]);
  const again = fromDocument(toDocument(form).document);
  assert.deepEqual(hidden(again), []);
  switchUnit(again, "mm");
  assert.equal(again.levels[0].openings[0].flight.height, "914.4"); // 36 x 25.4
});

test("joists go out where it is known how they run, and come back as they were", () => {
  const form = example();
  const [level] = form.levels;
  Object.assign(level.framing, { joist_spacing: "16" });
  assert.equal(toDocument(form).document.levels[0].framing, undefined);
  Object.assign(level.framing, { joist_direction: "90", first_joist: "3/4", joist_width: "1 1/2", rim_width: "2" });
  const { document, places } = toDocument(form);
  assert.deepEqual(document.levels[0].framing, { joist_direction: 90, joist_spacing: 16, first_joist: "3/4\"",
    joist_width: "1 1/2\"", rim_width: 2 });
  assert.equal(places["/levels/0/framing/rim_width"], "framing.rim_width");
  // The front runs from left to right, so that joists out from the house are counted from the left.
  assert.equal(firstFrom(level), "the left end of the deck (seen from the yard)");
  switchUnit(form, "mm");
  assert.equal(level.framing.rim_width, "50.8"); // 2 x 25.4
  document.levels[0].framing.joist_direction = 45;
  const again = fromDocument(document);
  assert.deepEqual(toDocument(again).document, document);
  assert.deepEqual(runs(again.levels[0]).at(-1), ["45", "At 45° to x"]);
  document.levels[0].framing = 7; // None that the form can show.
  assert.deepEqual(toDocument(fromDocument(document)).document, document);
});

test("a pointer leads to the field that was typed in", () => {
  const form = example();
  form.levels[0].edges[3].height = "x";
  const { places } = toDocument(form);
  const led = [
    ["/levels/0/outline/sides/2/length", "rectangle.width"],
    ["/levels/0/outline/sides/3/length", "rectangle.depth"],
    ["/levels/0/edges/1/height", "edges.3.height"], // edge 2 is the wall, written first
    ["/levels/0/edges/1", "edges.3.condition"], // what it points to holds the field
    ["/levels", null], // of all of them
    ["/levels/0", null], // no edge is named
    ["/levels/0/outline", null],
    ["/levels/0/outline/sides", null],
    ["/guard/height", "height"],
    ["/kit/post/width", "kit"], // inside what came from one field
    ["/levels/0/framing/joist_spacing", null], // not shown
    ["/site", "site.temperature_range"], // the first field inside it
    ["/compare", null],
    ["", null],
  ];
  for (const [pointer, field] of led) assert.equal(fieldOf(places, pointer), field, pointer);
});

// As the service has it (service/wire/forms/strict.py).
const LENGTH = "a number above 0 to 1000000 in the unit of its own document (deck, kit or code), or "
  + "text with its own unit, such as 12' 6 1/2\", 78 3/8\", 2400 mm or 2.4 m";

test("what is wrong with one field is told once, in words of the form", () => {
  const { places } = toDocument(example());
  const wrong = (pointer, code, message) => ({ pointer, code, message });
  const problem = { errors: [
    wrong("/levels/0/outline/sides/0/length", "not_a_length", `"20 fx" does not fit: send ${LENGTH}.`),
    wrong("/levels/0/outline/sides/2/length", "not_a_length", `"20 fx" does not fit: send ${LENGTH}.`),
    wrong("/levels/0/drop", "missing_member", "The member drop is missing: send it."),
    wrong("/levels/0/outline/sides", "walk_does_not_close", "The walk misses its start."),
  ] };
  assert.deepEqual(placeErrors(places, problem, "in").map(({ field, words }) => [field, words]), [
    ["rectangle.width", "This cannot be read as a length. Type it like 12' 6 1/2\"."],
    ["drop", "Something is needed here."],
    [null, "The walk misses its start."],
  ]);
  assert.deepEqual(placeErrors(places, { title: "Busy" }, "in"),
    [{ field: null, pointer: "", words: "Busy", open: false }]);
});

test("a reply in words", () => {
  assert.equal(spans(["B1", "B2", "B3", "B7", "B8"]), "B1 to B3, B7, B8");
  assert.equal(spans(["main/edge 0", "P9", "P10", "P11"]), "main/edge 0, P9 to P11");
  const told = (violations, warnings, ...findings) =>
    verdict({ summary: { violations, warnings }, findings });
  const open = { rule: "guard_required", result: "not_checked", where: ["main/steps", "main/yard"] };
  assert.deepEqual(told(1, 2), ["1 violation, 2 warnings", "bad"]);
  assert.deepEqual(told(0, 1), ["1 warning", "mind"]);
  assert.deepEqual(told(0, 0, { ...open, rule: "strength_post" }, { ...open, result: "pass" }),
    ["No violation found", "good"]);
  assert.deepEqual(told(0, 0, open), ["No violation found, 2 guards not judged", "mind"]);
  assert.deepEqual(told(1, 0, open), ["1 violation, 2 guards not judged", "bad"]);
  const summary = { posts: 9, bays: 10, railing_length: 514, pickets: 108, glass_panels: 0,
    violations: 0, warnings: 0 };
  assert.equal(sentence({ unit: "in", precision: 1 / 16, summary, findings: [] }),
    "9 posts, 10 bays, 42' 10\" of railing, 108 pickets. No violation found.");
  assert.equal(shortVerdict({ summary: { ...summary, not_checked: 7 }, findings: [] }),
    "No violation found, 7 not checked");
});

test("violations come before warnings, whatever the order of the reply", () => {
  const [warning, violation] = ["warning", "violation"].map((severity) => ({ result: "fail", severity }));
  const [pass, open] = ["pass", "not_checked"].map((result) => ({ result, severity: "note" }));
  assert.deepEqual(sortFindings([pass, warning, open, violation]),
    { failed: [violation, warning], unchecked: [open], passed: [pass] });
});

test("advice stands with the last finding of its rule", () => {
  const [low, lower, loose] = [["h", "B1"], ["h", "B5"], ["s", "P1"]].map(([rule, id]) => ({ rule, where: [id] }));
  const advice = [{ rule: "h", where: ["B1", "B5"] }, { rule: "s", where: ["P1"] }];
  const told = cured([low, loose, lower], advice);
  assert.deepEqual([low, lower, loose].map((each) => told.get(each)), [undefined, ...advice]);
  assert.equal(cured([low]).size, 0);
});

test("what a change brings is told by what is not so now", () => {
  const broken = (rule, severity = "violation") => ({ rule, result: "fail", severity });
  assert.deepEqual(broughtBy({ still: [], brings: [] }, []), []);
  assert.deepEqual(broughtBy({ result: "not_found" }, []), []);
  assert.deepEqual(broughtBy({ still: ["guard_height"], brings: ["head_heights", "rails_clear"] },
    [broken("guard_height")]), ["It brings a warning, or what cannot be checked: the heights of rails at the head of "
      + "the flight, what stands in the way of rails."]);
  assert.deepEqual(broughtBy({ still: ["guard_height", "handrail_extent"], brings: [] },
    [broken("guard_height"), broken("handrail_extent", "warning")]),
  ["It breaks what is not broken now: how far the handrail goes past the nosings."]);
  assert.deepEqual(broughtBy({ brings: [], warns_more: [{ rule: "head_heights", now: 1, then: 2 },
    { rule: "rails_clear", now: 2, then: 5 }] }, []), ["It brings more of a warning that is there already: the heights "
      + "of rails at the head of the flight, at 2 places instead of 1; what stands in the way of rails, at 5 places "
      + "instead of 2."]);
  assert.deepEqual(broughtBy({ still: ["of_tomorrow"] }, []), ["It breaks what is not broken now: of tomorrow."]);
});

test("a change is made to a copy of the document, by the steps of a JSON Patch", () => {
  const deck = { kit: "k", levels: [{ edges: [{ edge: 1 }], "a/b": 1 }] };
  const made = patched(deck, [
    { op: "add", path: "/levels/0/edges/-", value: { edge: 2 } },
    { op: "add", path: "/levels/0/edges/0", value: { edge: 0 } },
    { op: "copy", from: "/levels/0/edges/1/edge", path: "/levels/0/copied" },
    { op: "remove", path: "/levels/0/a~1b" },
  ], []);
  assert.deepEqual(made, { kit: "k", levels: [{ edges: [{ edge: 0 }, { edge: 1 }, { edge: 2 }], copied: 1 }] });
  assert.deepEqual(deck.levels, [{ edges: [{ edge: 1 }], "a/b": 1 }]);
  assert.deepEqual(patched(made, [{ op: "remove", path: "/levels/0/edges/1" }], []).levels[0].edges,
    [{ edge: 0 }, { edge: 2 }]);
  // A step into a kit is into its document.
  const kits = [{ id: "k", bottom_gap: 4 }];
  assert.deepEqual(patched(deck, [{ op: "add", path: "/kit/bottom_gap", value: "3 in" }], kits).kit,
    { id: "k", bottom_gap: "3 in" });
  assert.equal(kits[0].bottom_gap, 4);
});

test("a change stands in the form as a tape reads it, and everything else as it was typed", () => {
  const form = example();
  const [level] = form.levels;
  addOpening(level);
  addOpening(level);
  Object.assign(level.openings[0], { from: "1'", width: "36", flight: { ...blankFlight(), off: true, rise: "4'" } });
  Object.assign(level.openings[1], { edge: "1", from: "2 ft 6", width: "3'" });
  addColumn(level);
  Object.assign(level.columns[0], { from: "6'", width: "5 1/2", in: "2'", depth: "6" });
  level.edges[0].said = false;
  const make = (...steps) => {
    const { document: deck } = toDocument(form);
    return withChange(form, deck, patched(deck, steps, []));
  };
  const at = "/levels/0/openings";
  const moved = make({ op: "add", path: `${at}/0/from`, value: 13.875 }).levels[0];
  assert.deepEqual(moved.openings[0].flight, level.openings[0].flight);
  assert.deepEqual(moved.openings.map(({ from, width }) => [from, width]), [["1' 1 7/8\"", "36"], ["2 ft 6", "3'"]]);
  assert.deepEqual([moved.columns, moved.edges], [level.columns, level.edges]);
  // What is on no mark of a tape, and what is none of a length, stay numbers.
  assert.equal(make({ op: "add", path: `${at}/0/from`, value: 43.3071 }).levels[0].openings[0].from, "43.3071");
  assert.equal(make({ op: "add", path: "/levels/0/edges/-", value: { edge: 1, glass: 1 } }).levels[0].edges[1].glass, "1");
  // An opening that goes takes nothing of the next one.
  const [left, ...none] = make({ op: "remove", path: `${at}/0` }).levels[0].openings;
  assert.deepEqual([left, none], [level.openings[1], []]);
  const high = make({ op: "add", path: "/guard/height", value: 39 }, { op: "add", path: "/precision", value: 0.03125 });
  assert.deepEqual([high.height, high.precision], ["3' 3\"", "0.03125"]);
  assert.equal(toDocument(high).document.precision, 0.03125);
  assert.deepEqual(high.levels, form.levels);
});

test("what was made is told without that it was tried and what it takes", () => {
  const reply = { kit: { id: "k" }, findings: [], parts: [] };
  const told = (message) => madeWords({ message }, EXAMPLE, reply);
  assert.equal(told("Tried, and it passes: the guard 3' high; it takes 1 post more; the total goes from 1.00 to 2.50."),
    "The change was made: the guard 3' high.");
  assert.equal(told("Tried, and it passes: the guard 3' high."), "The change was made: the guard 3' high.");
  assert.equal(told("Tried, and it passes: the guard 3' high along edges 0 and 1 of main."),
    "The change was made: the guard 3' high along edges 0 and 1.");
  for (const remark of ["Made with the other changes, the rule on the height of the guard still fails: ask anew once those are made.",
    "It is the change for the rule on the height of the guard as well: make it once.",
    "It was not tried together with the other changes, for want of work left."]) {
    assert.equal(told(`Tried, and it passes: the guard 3' high. ${remark}`), "The change was made: the guard 3' high.");
    assert.equal(told(`Tried, and it passes: the guard 3' high; it takes 1 post more. ${remark}`), "The change was made: the guard 3' high.");
  }
  // It lies over the form.
  const many = Array.from({ length: 9 }, (_, i) => `the opening main/${i} moved`).join(", ");
  assert.equal(told(`Tried, and it passes: ${many}.`), "The change was made.");
});

test("an answer says which deck it is of, as it was typed", () => {
  const deck = copy(EXAMPLE);
  const bay = (height_text, more) => ({ height_text, ...more });
  const line = (one, ...bays) => deckLine(one, { bays });
  assert.equal(line(deck), "20' × 12' · guard height by the code · drop 48 in");
  // What the code comes to is said; a flight's guard is another one's.
  assert.equal(line(deck, bay("3'"), bay("3'"), bay("2' 10\"", { flight: "A" })),
    "20' × 12' · guard 3' high by the code · drop 48 in");
  assert.match(line(deck, bay("2'"), bay("3'"), bay("4'")), / guards 2', 3' and 4' high /);
  assert.equal(line(deck, bay("3'"), bay("3' 6\"")), "20' × 12' · guards 3' and 3' 6\" high · drop 48 in");
  Object.assign(deck, { title: "Ashby, back", guard: { infill: "glass", height: "42\"" } });
  deck.levels[0].drop = "4'";
  deck.levels[0].outline.sides.push({ length: 10 });
  deck.levels.push({});
  assert.equal(line(deck, bay("3' 6\"")), "Ashby, back · 5 sides · guard 42\" high · drop 4' · and 1 more level");
  const ties = { unit: "mm", guard: { height: 1070 },
    levels: [{ outline: { ties: { baseline: 6000, corners: [{}, {}] } } }] };
  assert.equal(line(ties), "4 sides · guard 1070 mm high · no drop given");
});

const conditions = (form) => form.levels[0].edges.map((edge) => edge.condition);
const guards = (count) => Array(count).fill("guard");

test("a wall that nobody said goes to guard when the edges are others, and is asked for again", () => {
  for (const way of ["sides", "points"]) {
    for (const [change, left] of [[addRow, 5], [(level) => removeRow(level, 0), 3]]) {
      const form = freshForm(copy(EXAMPLE));
      switchWay(form.levels[0], way, "in");
      assert.deepEqual(conditions(form), ["guard", "guard", "wall", "guard"]); // The same four edges.
      assert.equal(form.levels[0].askHouse, false);
      change(form.levels[0]);
      assert.deepEqual(conditions(form), guards(left));
      assert.equal(form.levels[0].askHouse, true);
      assert.equal(toDocument(form).document.levels[0].edges, undefined);
      form.levels[0].edges[1].condition = "wall";
      sayEdge(form.levels[0], 1);
      assert.equal(form.levels[0].askHouse, false);
    }
  }
});

test("a wall that was said stays with its row, and is asked for again", () => {
  const form = freshForm(copy(EXAMPLE));
  sayEdge(form.levels[0], 2);
  switchWay(form.levels[0], "sides", "in");
  removeRow(form.levels[0], 1);
  assert.deepEqual(conditions(form), ["guard", "wall", "guard"]);
  assert.equal(form.levels[0].askHouse, true);
});

test("the house of two tapes is no edge of another way", () => {
  const form = freshForm(copy(EXAMPLE));
  switchWay(form.levels[0], "ties", "in");
  addRow(form.levels[0]);
  assert.deepEqual([conditions(form).at(-1), form.levels[0].askHouse], ["wall", false]);
  form.levels[0].sides.push({ length: "", turn: "90" }); // Five sides, as the tapes' edges are five.
  switchWay(form.levels[0], "sides", "in");
  assert.deepEqual(conditions(form), guards(5));
  assert.equal(form.levels[0].askHouse, true);
});

test("an empty side of a walk has the length that the reply worked out", () => {
  const form = freshForm(copy(EXAMPLE));
  const surveyed = [{ level: "other", sides: [{ edge: 3, length_text: "1'" }] },
    { level: "main", sides: [{ edge: 3, length_text: "12'" }] }];
  assert.equal(closingSide(form.levels[0], { surveyed }), null); // A rectangle has none.
  switchWay(form.levels[0], "sides", "in");
  assert.equal(closingSide(form.levels[0], { surveyed }), null);
  form.levels[0].sides[3].length = " ";
  assert.deepEqual(closingSide(form.levels[0], { surveyed }), { field: "sides.3.length", text: "= 12'" });
  assert.equal(closingSide(form.levels[0], {}), null);
});

test("the commonest faults in words of the form's own", () => {
  const { places } = toDocument(freshForm(copy(EXAMPLE)));
  const cases = [
    ["out_of_range", `0 does not fit: send ${LENGTH}.`, "Type a length above 0, such as 2400 mm."],
    ["not_a_length", `"x" does not fit: send ${LENGTH.replace("above", "from")}.`,
      "This cannot be read as a length. Type it like 2400 mm."],
    ["out_of_range", `-1 does not fit: send ${LENGTH.replace("above", "from")}.`,
      "Type a length of 0 or more, such as 2400 mm."],
    ["out_of_range", `1000001 does not fit: send ${LENGTH}.`, "At most 1000000 mm."],
    ["length_too_great", "\"100000'\" is not accepted: send a length of at most 1000000 in.",
      "At most 1000000 in."],
    ["not_a_length", `"12-6" does not fit: send ${LENGTH}.`,
      "This may be feet and inches or not. Feet and inches are typed 12' 6\"."],
    ...["12-6-1/2", "12 6 1/2", "12-6 1/2\\\""].map((typed) => ["not_a_length", `"${typed}" does not fit: send ${LENGTH}.`,
      "This may be feet and inches or not. Feet and inches are typed 12' 6 1/2\"."]),
    // Inches go to 11, so this is none of feet and inches.
    ["not_a_length", `"12 13" does not fit: send ${LENGTH}.`, "This cannot be read as a length. Type it like 2400 mm."],
    ...["12' 6 1/3", "5/10\\\""].map((typed) => ["not_a_length", `"${typed}" does not fit: send ${LENGTH}.`,
      "This cannot be read as a length. A tape has halves, quarters and on to sixty-fourths. Type it like 2400 mm."]),
    ...["20' 17/16\\\"", "12 17/16'", "12 6/1'", "12 5/3'"].map((typed) => ["not_a_length",
      `"${typed}" does not fit: send ${LENGTH}.`,
      "This cannot be read as a length. A fraction is less than one. Type it like 2400 mm."]),
    ["not_a_length", `"1/3'" does not fit: send ${LENGTH}.`, "This cannot be read as a length. Type it like 2400 mm."],
    ["not_a_length", `"2,4 m" does not fit (decimals take a point): send ${LENGTH}.`,
      "This cannot be read as a length. Decimals take a point. Type it like 2400 mm."],
    ...["20' 13", "20'12 1/2\\\"", "20' 12.5\\\""].map((typed) => ["not_a_length",
      `"${typed}" does not fit: send ${LENGTH}.`, "This cannot be read as a length. After feet, inches go to 11 "
      + "and a fraction. Type it like 2400 mm."]),
    ...["20' 11 fx", "13\\\" fx"].map((typed) => ["not_a_length",
      `"${typed}" does not fit: send ${LENGTH}.`, "This cannot be read as a length. Type it like 2400 mm."]),
    ["length_of_nought", "\"0'\" is not accepted: send a length above 0.000001 in.",
      "Type a length above 0, such as 2400 mm."],
    ["wrong_type", "\"x\" does not fit: send a number from -180 to 180, in degrees.",
      "Type a number from -180 to 180, in degrees."],
    ["wrong_type", "\"x\" does not fit: send a number from 0 to 1000, in degrees Fahrenheit in inch documents, "
      + "in kelvins in millimetre ones.", "Type a number from 0 to 1000."],
    ["wrong_type", "\"x\" does not fit: send a number above 0 to 1000000, in lbf where the document is in inches, "
      + "in kN where it is in millimetres.", "Type a number above 0 to 1000000."],
    ["out_of_range", "0 does not fit: send a whole number from 1 to 60.",
      "Type a whole number from 1 to 60."],
    ["edge_without_railing", "Edge 2 is a wall.", "Edge 2 is a wall."],
  ];
  for (const [code, message, words] of cases) {
    const problem = { errors: [{ pointer: "/levels/0/drop", code, message }] };
    assert.equal(placeErrors(places, problem, "mm")[0].words, words);
  }
});

test("a rectangle without its width has no side to leave out", () => {
  const form = freshForm(copy(EXAMPLE));
  form.levels[0].rectangle.width = "";
  const { places } = toDocument(form);
  const problem = { errors: [{ pointer: "/levels/0/outline/sides", code: "length_missing",
    message: "A list of 4 does not fit: send a walk in which one side at most leaves its length out; "
      + "sides 0 and 2 do, counted from 0." }] };
  assert.deepEqual(placeErrors(places, problem, "in").map(({ field, words }) => [field, words]),
    [["rectangle.width", "Something is needed here."]]);
});

test("of a walk only one length can be left out, which is said at those that are", () => {
  const form = freshForm(copy(EXAMPLE));
  switchWay(form.levels[0], "sides", "in");
  addRow(form.levels[0]);
  const { places } = toDocument(form);
  const problem = { errors: [{ pointer: "/levels/0/outline/sides", code: "length_missing",
    message: "A list of 5 does not fit: send a walk in which one side at most leaves its length out; "
      + "sides 3 and 4 do, counted from 0." }] };
  const told = (fresh) => placeErrors(places, problem, "in", fresh)
    .map(({ field, words, open }) => [field, words, open]);
  const only = "Only one side can be left empty.";
  assert.deepEqual(told(() => false),
    [["sides.3.length", only, false], ["sides.4.length", only, false]]);
  // The new row is still to be typed, and then the other is the only one.
  assert.deepEqual(told((field) => field === "sides.4.length"),
    [["sides.4.length", "Still to type.", true]]);
});

test("what a field lacks that was not left yet is still to be typed, and no fault", () => {
  const form = freshForm(copy(EXAMPLE));
  addOpening(form.levels[0]);
  const { places } = toDocument(form);
  const lacks = (name) => ({ pointer: `/levels/0/openings/0/${name}`, code: "missing_member",
    message: `The member ${name} is missing: send it.` });
  const placed = placeErrors(places, { errors: ["from", "width"].map(lacks) }, "in",
    (field) => field === "openings.0.width");
  assert.deepEqual(placed.map(({ field, words, open }) => [field, words, open]), [
    ["openings.0.from", "Something is needed here.", false],
    ["openings.0.width", "Still to type.", true],
  ]);
  // What is still to be typed comes after what is a fault.
  const turned = placeErrors(places, { errors: ["from", "width"].map(lacks) }, "in",
    (field) => field === "openings.0.from");
  assert.deepEqual(turned.map(({ field }) => field), ["openings.0.width", "openings.0.from"]);
});

test("what is wrong with an outline is told where the edge that is named was measured", () => {
  const crossing = (edge) => ({ pointer: "/levels/0/outline", code: "outline_crosses_itself",
    message: `Edges ${edge} and 9 of level main cross or touch; give the corners in order.` });
  const told = (form, error) => placeErrors(toDocument(form).places, { errors: [error] }, "in")
    .map(({ field, pointer }) => [field, pointer]);
  const cases = [
    ["rectangle", ["rectangle.width", "rectangle.depth", "rectangle.width", "rectangle.depth"]],
    ["sides", [0, 1, 2, 3].map((side) => `sides.${side}.length`)],
    ["points", [0, 1, 2, 3].map((corner) => `points.${corner}.x`)], // the corner it begins at
    // A to corner 1, to corner 2, to B, and the house, which is one length.
    ["ties", ["corners.0.from_a", "corners.1.from_a", "corners.1.from_a", "baseline"]],
  ];
  for (const [way, fields] of cases) {
    const form = freshForm(copy(EXAMPLE));
    switchWay(form.levels[0], way, "in");
    assert.deepEqual([0, 1, 2, 3].map((edge) => told(form, crossing(edge))),
      fields.map((field) => [[field, ""]]), way);
  }
  // A row that is still to be typed is told first, and what is wrong with the outline waits for it.
  const walk = freshForm(copy(EXAMPLE));
  switchWay(walk.levels[0], "sides", "in");
  insertRow(walk.levels[0], 1);
  const apart = { pointer: "/levels/0/outline", code: "walk_does_not_close", message: "The walk misses its start." };
  const waits = placeErrors(toDocument(walk).places, { errors: [apart] }, "in", (field) => field === "sides.2.length");
  assert.deepEqual(waits.map(({ field, words }) => [field, words]), [["sides.2.length", "Still to type."]]);
  assert.deepEqual(told(walk, apart), [[null, ""]]);
  const form = freshForm(copy(EXAMPLE));
  const none = { code: "too_many_bays", message: "The deck needs over 2500 bays; send it in parts." };
  for (const pointer of ["", "/levels", "/levels/0"]) {
    assert.deepEqual(told(form, { ...none, pointer }), [[null, ""]]);
  }
  // Of what the form does not show the place is all that can be told.
  const unseen = { pointer: "/levels/0/framing/joist_spacing", code: "out_of_range", message: "0 is none." };
  assert.deepEqual(told(form, unseen), [[null, unseen.pointer]]);
});

test("the tape's unit is kept by lengths that are not shown, and by nothing else", () => {
  const prices = (price) => ({ prices: { currency: "USD", parts: { rail: price } } });
  const free = [prices({ each: "1.10" }), prices({ per_stick: { 192: "88.00" } }),
    prices({ each: "1", discounts: [{ from: 10, rate: "0.1" }] }), prices({ each: "1", per_pack: "2" }),
    { occupants: 12, plan_effort: "thorough" },
    { stock_on_hand: [{ part: "rail", length: 88, count: 2 }] }, // of which each length is shown
    { site: { temperature_range: 90, timber: { specific_gravity: 0.5 } } }, // degrees go with the tape
    { compare: [{ label: "other", kit: { unit: "mm", post: { width: 60 } } }] }];
  for (const price of [{ per_length: "3.00" }, { per_area: "31.00" }]) {
    const priced = fromDocument({ ...copy(EXAMPLE), ...prices(price) });
    assert.equal(goByUnit(priced), true);
    priced.prices.currency = ""; // They wait for another.
    assert.equal(goByUnit(priced), true);
    const odd = fromDocument({ ...copy(EXAMPLE), ...prices({ ...price, each: "1" }) });
    assert.deepEqual([bound(odd), goByUnit(odd)], [["more prices"], false]);
  }
  const held = [{ precision: 0.125 },
    { note: { of: 90 } }, { amendments: { guard_height: 42 } }];
  for (const more of free) {
    const form = fromDocument({ ...copy(EXAMPLE), ...more });
    assert.deepEqual([bound(form), goByUnit(form)], [[], false]);
  }
  for (const more of held) {
    assert.deepEqual(bound(fromDocument({ ...copy(EXAMPLE), ...more })), Object.keys(more));
  }
  const deck = copy(EXAMPLE);
  deck.levels[0].edges = [{ edge: 0, glass: 1, of: 2 }, { edge: 1, drop_to_ground: 18 }, { edge: 1, drop: 3 }];
  deck.levels[0].beneath = "walked";
  assert.deepEqual(hidden(fromDocument(deck)), ["of", "more edges"]);
  assert.deepEqual(bound(fromDocument(deck)), ["of", "more edges"]);
});

test("a corner may be typed as a tape reads it, which goes out as a number", () => {
  const form = example();
  switchWay(form.levels[0], "points", "in");
  const points = (x, unit = "in") => {
    form.unit = unit;
    form.levels[0].points[1].x = x;
    return toDocument(form).document.levels[0].outline.points[1][0];
  };
  // 20 x 12 = 240; 12 x 12 + 6.5 = 150.5; 254 / 25.4 = 10; 12.5 x 12 = 150
  const inches = [["20'", 240], ["12' 6 1/2", 150.5], ["-2' 6\"", -30], ["\u22123/4", -0.75], ["254 mm", 10],
    ["12.5'", 150], [" 96 ", 96], ["-96.5", -96.5], ["", null]];
  for (const [typed, sent] of inches) assert.equal(points(typed), sent, typed);
  // What is no length goes on as it is, to be refused: 13 in after feet, 12 of nothing, a third.
  for (const typed of ["20 fx", "5' 13\"", "12 6", "1/3", "4/4", "-"]) assert.equal(points(typed), typed);
  // 10 x 25.4 = 254; in millimetres a bare fraction has no unit.
  for (const [typed, sent] of [["10\"", 254], ["2.4 m", 2400], ["3/4", "3/4"]]) {
    assert.equal(points(typed, "mm"), sent, typed);
  }
});

test("an edge bows out, or in with a minus, whatever stands there", () => {
  const form = example();
  const [level] = form.levels;
  const edges = () => toDocument(form).document.levels[0].edges;
  // 12 + 6 = 18 in; a text keeps its words, with a minus it is worked out; the house may bow, too.
  for (const [typed, sent] of [["1' 6", "1' 6\""], ["18", 18], ["-1' 6\"", -18], ["\u22126", -6], ["0", 0]]) {
    level.edges[0].bow = typed;
    assert.deepEqual(edges(), [{ edge: 0, arc_rise: sent }, { edge: 2, condition: "wall" }], typed);
  }
  level.edges[0].bow = "";
  level.edges[2].bow = "-4";
  assert.deepEqual(edges(), [{ edge: 2, condition: "wall", arc_rise: -4 }]);
  const again = fromDocument(toDocument(form).document);
  assert.equal(again.levels[0].edges[2].bow, "-4");
  assert.deepEqual([hidden(again), bound(again)], [[], []]);
  switchUnit(form, "mm"); // 4 x 25.4 = 101.6
  assert.equal(edges()[0].arc_rise, -101.6);
  level.edges[0].bow = "- 6 fx";
  const { places } = toDocument(form);
  const fault = { pointer: "/levels/0/edges/0/arc_rise", code: "not_a_length", message: "\"- 6 fx\" does not fit: "
    + `send ${LENGTH.replace("above 0", "from -1000000")}.` };
  assert.deepEqual(placeErrors(places, { errors: [fault] }, "mm").map(({ field, words }) => [field, words]),
    [["edges.0.bow", "This cannot be read as a length. Type it like 2400 mm."]]);
});

test("an edge has a drop and a wall end of its own, which go out as they were said", () => {
  const form = example();
  const [level] = form.levels;
  level.edges[1].drop = "6' 8";
  level.edges[3].wall_end = "post";
  const { document, places } = toDocument(form);
  const wall = { edge: 2, condition: "wall" };
  assert.deepEqual(document.levels[0].edges, [{ edge: 1, drop: "6' 8\"" }, wall, { edge: 3, wall_end: "post" }]);
  assert.equal(places["/levels/0/edges/0/drop"], "edges.1.drop");
  assert.equal(places["/levels/0/edges/2/wall_end"], "edges.3.wall_end");
  level.edges[1].drop = "80";
  switchUnit(form, "mm");
  assert.equal(level.edges[1].drop, "2032"); // 80 x 25.4
  const opened = copy(EXAMPLE);
  opened.levels[0].edges = [{ edge: 0, drop: 0 }, { edge: 1, wall_end: "bracket" },
    { ...wall, drop: "4'", wall_end: "post" }, { edge: 3, condition: "open", wall_end: "a hook" }];
  assert.deepEqual(toDocument(fromDocument(copy(opened))).document, opened);
});

test("how high a column is goes out as it was said, and with the tape to its other unit", () => {
  const opened = copy(EXAMPLE);
  opened.levels[0].obstructions = [{ name: "post", points: [[40, 0], [46, 0], [46, 6], [40, 6]], height: "8'" },
    { name: "box", points: [[60, 0], [66, 0], [66, 6], [60, 6]] }];
  const form = fromDocument(copy(opened));
  assert.deepEqual(form.levels[0].columns.map(({ height }) => height), ["8'", ""]);
  assert.deepEqual(toDocument(form).document, opened);
  form.levels[0].columns[1].height = "40";
  const { document, places } = toDocument(form);
  assert.equal(document.levels[0].obstructions[1].height, 40);
  assert.equal(places["/levels/0/obstructions/1/height"], "columns.1.height");
  switchUnit(form, "mm");
  assert.equal(form.levels[0].columns[1].height, "1016"); // 40 x 25.4
});

test("how a railing ends beside an open edge goes out as it was said, what is usual, too", () => {
  const form = example();
  form.levels[0].edges[1].open_end = "edge";
  const { document, places } = toDocument(form);
  const wall = { edge: 2, condition: "wall" };
  assert.deepEqual(document.levels[0].edges, [{ edge: 1, open_end: "edge" }, wall]);
  assert.equal(places["/levels/0/edges/0/open_end"], "edges.1.open_end");
  const opened = copy(EXAMPLE);
  opened.levels[0].edges = [{ edge: 1, open_end: "setback" }, wall, { edge: 3, open_end: "a hook" }];
  assert.deepEqual(toDocument(fromDocument(copy(opened))).document, opened);
});

test("findings have the numbers of their flags on the plan", () => {
  const fail = (rule, severity, cite) => ({ result: "fail", rule, severity, cite, source: "code" });
  const findings = [fail("a", "warning", "C1"), { ...fail("b", "violation", "C1"), result: "pass" },
    fail("c", "note", "C1"), fail("a", "violation", "C1"), fail("a", "warning", "C1"), fail("a", "warning", "C2")];
  const numbers = flags({ findings, kit: { id: "square" } });
  assert.deepEqual(findings.map((each) => numbers.get(each)), [1, undefined, undefined, 2, 1, 3]);
});

test("where the house stands is asked beside the verdict, too, while it is not said again", () => {
  const form = freshForm(copy(EXAMPLE));
  assert.deepEqual(houses(form), []);
  switchWay(form.levels[0], "sides", "in");
  addRow(form.levels[0]);
  assert.deepEqual(houses(form),
    ["Which edges stand against the house? Those not said are laid out as guards."]);
  addLevel(form);
  assert.match(houses(form)[0], /^Which edges on main stand/);
  sayEdge(form.levels[0], 2);
  assert.deepEqual(houses(form), []);
});

test("the rise of a flight goes with the drop until it was typed", () => {
  const form = example();
  const [level] = form.levels;
  for (const row of [0, 1]) {
    addOpening(level);
    press(form, "flight", row, null);
  }
  Object.assign(level.openings[1].flight, { rise: "40", follows: false });
  level.drop = "50";
  followDrop(form);
  assert.deepEqual(level.openings.map(({ flight }) => flight.rise), ["50", "40"]);
  // To another level it is as much less as that level has of its own; an opened document says what it says.
  addLevel(form);
  const [, low] = form.levels;
  Object.assign(low, { id: "low", drop: "2' 6" });
  level.openings[0].flight.to_level = "low";
  level.drop = "6' 8 1/2\"";
  followDrop(form);
  assert.equal(level.openings[0].flight.rise, "50.5"); // 80.5 - 30
  for (const none of ["", "7'", "x"]) {
    low.drop = none;
    followDrop(form);
    assert.equal(level.openings[0].flight.rise, "");
  }
  level.openings[0].flight.to_level = "";
  level.drop = "50";
  followDrop(form);
  removeLevel(form);
  const opened = fromDocument(toDocument(form).document);
  opened.levels[0].drop = "70";
  followDrop(opened);
  assert.deepEqual(opened.levels[0].openings.map(({ flight }) => flight.rise), ["50", "40"]);
});

test("an opening is measured from the end that is named", () => {
  // 20' by 12' from the front's left end: edge 0 from (0,0) to (240,0), the house at y = 144. Who
  // stands in the yard, at y < 0, has x = 0 to the left, also of the house side, which begins at 240.
  const form = freshForm(copy(EXAMPLE));
  const told = (count) => Array.from({ length: count }, (_, i) => edgeEnds(form.levels[0], i))
    .map(({ first, last, told: full }) => [first, last, full]);
  assert.deepEqual(told(4), [
    ["left end", "right end", "the left end (seen from the yard)"],
    ["yard end", "house end", "the yard end"],
    ["right end", "left end", "the right end (seen from the yard)"],
    ["house end", "yard end", "the house end"],
  ]);
  assert.equal(edgeEnds(form.levels[0], 4), null);
  assert.equal(edgeEnds(form.levels[0], NaN), null);
  assert.deepEqual([0, 4].map((i) => edgeName(form.levels[0], i)), ["0, front", "4"]);
  switchWay(form.levels[0], "points", "in"); // Edge i runs from corner i to corner i + 1, the last one back to 0.
  assert.deepEqual(told(4).map(([first, last]) => [first, last]),
    [["corner 0", "corner 1"], ["corner 1", "corner 2"], ["corner 2", "corner 3"], ["corner 3", "corner 0"]]);
  assert.equal(edgeName(form.levels[0], 2), "2");
  form.levels[0].way = "sides";
  assert.deepEqual(edgeEnds(form.levels[0], 2),
    { first: "start of side 2", last: "end of side 2", told: "the start of side 2",
      at: ["the start of side 2", "the end of side 2"] });
  form.levels[0].way = "ties"; // A, the corners in order, B, and back along the house.
  assert.deepEqual(told(4).map(([first, last]) => [first, last]),
    [["A", "corner 1"], ["corner 1", "corner 2"], ["corner 2", "B"], ["B", "A"]]);
  assert.deepEqual(edgeEnds(form.levels[0], 0).at, ["A", "corner 1"]);
  assert.equal(edgeEnds(form.levels[0], 4), null);
});

test("an edge that is not there has no ends, however the deck is measured", () => {
  const form = freshForm(copy(EXAMPLE));
  for (const way of ["rectangle", "sides", "points", "ties"]) {
    switchWay(form.levels[0], way, "in"); // Four edges each, 0 to 3.
    assert.notEqual(edgeEnds(form.levels[0], 3), null, way);
    for (const edge of [4, 9, NaN]) assert.equal(edgeEnds(form.levels[0], edge), null, way);
  }
});

test("a gate has its hinges and its swing, which need not be said", () => {
  const form = freshForm(copy(EXAMPLE));
  addOpening(form.levels[0]);
  Object.assign(form.levels[0].openings[0], { from: "8'", width: "36", use: "gate" });
  const opening = () => toDocument(form).document.levels[0].openings[0];
  assert.deepEqual(opening(), { id: "A", edge: 0, from: "8'", width: 36, use: "gate" });
  Object.assign(form.levels[0].openings[0], { hinge: "far", opens: "out" });
  assert.deepEqual([opening().hinge, opening().opens], ["far", "out"]);
  const again = fromDocument(toDocument(form).document);
  assert.deepEqual(hidden(again), []);
  assert.deepEqual(toDocument(again).document, toDocument(form).document);
});

test("bays are listed as the answer has them, and only what was measured is told", () => {
  const bay = (id, from, to, clear, more = {}) => ({ id, from, to, clear, ...more });
  const reply = { unit: "in", precision: 1 / 16, bays: [bay("B1", "P1", "P2", 56),
    bay("B2", "P2", null, 44.9375), bay("B3", "P3", "P4", 33.4, { clear_slope: 40.25 })] };
  const form = example();
  assert.equal("site_measures" in toDocument(form).document, false);
  assert.equal(listBays(form, reply), true);
  // 56 in is 4 ft 8 in, 44.9375 is 3 ft 8 15/16 in; on stairs along the rail: 40.25 is 3 ft 4 1/4 in.
  assert.deepEqual(form.measures.map(({ bay: id, between, drawn }) => [id, between, drawn]), [
    ["B1", "P1 to P2", "4' 8\""], ["B2", "P2 to wall", "3' 8 15/16\""],
    ["B3", "P3 to P4", "3' 4 1/4\""]]);
  assert.equal("site_measures" in toDocument(form).document, false);
  // As it was measured is not as it was drawn.
  const asMeasured = example();
  listBays(asMeasured, { ...reply, bays: [bay("B1", "P1", "P2", 50, { measured: true })] });
  assert.equal(asMeasured.measures[0].drawn, "");
  Object.assign(form.measures[1], { clear_top: "44 7/8", clear_bottom: "45" });
  const { document, places } = toDocument(form);
  const measured = [{ bay: "B2", clear_top: "44 7/8\"", clear_bottom: 45 }];
  assert.deepEqual(document.site_measures, measured);
  assert.equal(places["/site_measures/0/bay"], "measures.1.clear_top");
  assert.equal(places["/site_measures/0/clear_bottom"], "measures.1.clear_bottom");
  assert.match(deckLine(document, { bays: [] }), / · 1 bay as measured$/);
  // The same bays again; then one alone: what was typed of a bay that is no more stays to be seen.
  assert.equal(listBays(form, reply), false);
  assert.equal(listBays(form, { ...reply, bays: reply.bays.slice(0, 1) }), true);
  assert.deepEqual(form.measures.map((row) => row.bay), ["B1", "B2"]);
  assert.deepEqual(toDocument(form).document.site_measures, measured);
  // In millimetres: 45 x 25.4 = 1143; a text names its own unit.
  switchUnit(form, "mm");
  assert.deepEqual(toDocument(form).document.site_measures,
    [{ bay: "B2", clear_top: "44 7/8\"", clear_bottom: 1143 }]);
});

test("a list of bays is put away while nothing stands in it", () => {
  const form = example();
  press(form, "list-bays", NaN, null);
  assert.deepEqual(form.measures, []); // nothing was answered yet
  press(form, "list-bays", NaN, { unit: "mm", precision: 1, bays: [{ id: "B1", clear: 1410 }] });
  form.measures[0].clear_top = "1409";
  press(form, "put-bays-away", NaN, null);
  assert.equal(form.measures.length, 1);
  form.measures[0].clear_top = " ";
  press(form, "put-bays-away", NaN, null);
  assert.deepEqual(form.measures, []);
});

test("measures of an opened document come back as they were, odd ones too", () => {
  const measured = [{ bay: "B2", clear_top: 44.875, clear_bottom: "45\"" }, { bay: "B2" },
    "odd", { bay: 7 }, { bay: "B9", clear_top: 12, note: "by the house" }];
  const form = fromDocument({ ...copy(EXAMPLE), site_measures: measured });
  assert.deepEqual(form.measures.map((row) => row.bay), ["B2", "B9"]);
  assert.deepEqual(hidden(form), ["note", "more measures"]);
  const told = toDocument(form).document.site_measures;
  assert.deepEqual(told, measured);
});

// A level of 16 ft by 10 ft, 2 ft to the right of the first one's left end and 11 ft 9 in out.
function twoLevels() {
  const form = example();
  addLevel(form);
  const typed = { width: "16'", depth: "10'", right: "2'", out: "11' 9" };
  Object.assign(form.levels[1].rectangle, typed);
  return form;
}

test("a level that is added stands where it is placed", () => {
  const form = twoLevels();
  assert.deepEqual([form.at, form.levels[1].id], [1, "level-2"]);
  const [main, lower] = toDocument(form).document.levels;
  assert.deepEqual(main, EXAMPLE.levels[0]);
  // x from 24 to 24 + 192 = 216; the yard is at y < 0: from -141 to -141 + 120 = -21.
  assert.deepEqual(lower,
    { id: "level-2", outline: { points: [[24, -141], [216, -141], [216, -21], [24, -21]] } });
  const again = fromDocument(toDocument(form).document);
  assert.deepEqual(again.levels[1].rectangle, { width: "192", depth: "120", right: "24", out: "141" });
  assert.deepEqual(toDocument(again).document, toDocument(form).document);
  // The other way with a minus, also before feet: x = -30, y = 6.
  Object.assign(form.levels[1].rectangle, { right: "-2' 6", out: "\u22126" });
  assert.deepEqual(toDocument(form).document.levels[1].outline.points[0], [-30, 6]);
  // In millimetres all lengths stay what they are: 16' is 192 x 25.4 = 4876.8.
  switchUnit(form, "mm");
  const [near, right] = toDocument(form).document.levels[1].outline.points;
  assert.deepEqual(near.map((each) => Number(each.toFixed(3))), [-762, 152.4]);
  assert.equal(Number((right[0] - near[0]).toFixed(3)), 4876.8);
});

test("of a placed rectangle each coordinate leads to what it lacks", () => {
  const form = twoLevels();
  const fields = (rectangle) => {
    Object.assign(form.levels[1].rectangle, rectangle);
    const { document, places } = toDocument(form);
    const at = (i, k) => places[`/levels/1/outline/points/${i}/${k}`].replace("rectangle.", "");
    const points = document.levels[1].outline.points;
    return points.map((point, i) => point.map((told, k) =>
      (typeof told === "number" ? null : [told, at(i, k)])));
  };
  const [none, far] = [[null, null], [null, "depth"]];
  assert.deepEqual(fields({}), [none, none, none, none]);
  assert.deepEqual(fields({ depth: "" }), [none, none, [null, far], [null, far]]);
  const across = ["20 fx", "right"];
  assert.deepEqual(fields({ depth: "9", right: "20 fx" }),
    [[across, null], [across, null], [across, null], [across, null]]);
  const error = { pointer: "/levels/1/outline/points/0/0", code: "wrong_type",
    message: "\"20 fx\" does not fit: send a number from -1000000 to 1000000, in the document's unit." };
  const words = (places) => placeErrors(places, { errors: [error] }, "in")
    .map((each) => [each.field, each.words]);
  const say = "This cannot be read as a length. Type it like 12' 6 1/2\".";
  assert.deepEqual(words(toDocument(form).places), [["rectangle.right", say]]);
  // Nothing typed yet: all four lack it, and what cannot be read of a size is told at the size.
  const lacks = (...names) => names.map((name) => [null, name]);
  assert.deepEqual(fields({ width: "", depth: "", right: "", out: "" }), [lacks("right", "out"),
    lacks("width", "out"), lacks("width", "depth"), lacks("right", "depth")]);
  assert.deepEqual(fields({ width: "16 fx" })[1], [["16 fx", "width"], [null, "out"]]);
  Object.assign(form.levels[1].rectangle, { width: "16'", depth: "9", right: "20 fx", out: "1'" });
  // Shown or not: of another level it is told where levels are chosen.
  form.at = 0;
  assert.deepEqual(words(toDocument(form).places), [["at", `On level-2, how far to the right: ${say}`]]);
});

test("corners that are no rectangle along the house stay corners", () => {
  const odd = [[[0, 0], [9, 1], [9, 9], [0, 9]], [[9, 0], [9, 9], [0, 9], [0, 0]],
    [[0, 0], [0, 9], [-9, 9], [-9, 0]], [[0, 0], [9, 0], [9, null], [0, 9]], [[0, 0], [9, 0], [9, 9]]];
  for (const points of odd) {
    const deck = copy(EXAMPLE);
    deck.levels.push({ id: "low", outline: { points } });
    const form = fromDocument(deck);
    assert.equal(form.levels[1].way, "points");
    assert.deepEqual(toDocument(form).document.levels[1].outline.points, points);
  }
});

test("a flight goes down to a level; one that is taken out takes its openings and flights", () => {
  const form = twoLevels();
  addOpening(form.levels[1]);
  Object.assign(form.levels[1].openings[0], { from: "5'", width: "4'",
    flight: { ...blankFlight(), rise: "24", risers: "4", going: "10" } });
  form.at = 0;
  addOpening(form.levels[0]);
  Object.assign(form.levels[0].openings[0], { from: "8'", width: "4'",
    flight: { ...blankFlight(), rise: "24", risers: "4", going: "10", to_level: "level-2" } });
  const { document, places } = toDocument(form);
  assert.deepEqual(document.stairs.map(({ opening, to_level: onto }) => [opening, onto]),
    [["main/A", "level-2"], ["level-2/A", undefined]]);
  assert.equal(places["/stairs/0/to_level"], "openings.0.flight.to_level");
  assert.equal(places["/stairs/1/going"], "at/level-2/openings.0.flight.going");
  const again = fromDocument(document);
  assert.deepEqual(hidden(again), []);
  assert.deepEqual(toDocument(again).document, document);
  form.at = 1;
  press(form, "remove-level", NaN, null);
  assert.deepEqual([form.at, form.levels.length], [0, 1]);
  assert.deepEqual(toDocument(form).document.stairs.map(({ opening }) => opening), ["main/A"]);
});

test("a finding that cites the kit alone goes by its source, as on the printed sheets", () => {
  const by = (source, cite = "square") => goesBy({ source, cite }, { id: "square" });
  assert.deepEqual(["kit", "engineering", "survey"].map((source) => by(source)),
    ["the kit", "engineering", "the survey"]);
  assert.equal(by("code", "IRC 2021 R312.1.3"), "IRC 2021 R312.1.3");
  assert.equal(goesBy({ source: "engineering" }, { id: "square" }), "");
});

test("a finding's names of the document are said in the page's own words", () => {
  const kit = { id: "square-in" };
  const name = (role) => ({ top_rail_picket: "Top rail" })[role] ?? role;
  const say = (message, own = []) => plainly(message, kit, name, new Set(own));
  const cases = [
    ["B3: measure each clear opening, and lay out again with what was measured.",
      "B3: measure each clear opening, and type it under After the posts stand."],
    ["B1: whether the guard helps climbing was not checked; name a code to have it checked.",
      "B1: whether the guard helps climbing was not checked; choose a Building code to have it checked."],
    ["m/edge 1: no railing; give the drop of the edge or its level to have it checked: a guard is required.",
      "m/edge 1: no railing; type the Drop to the ground to have it checked: a guard is required."],
    ["m/g: no flight goes down; give the drop of its edge or level to have that checked.",
      "m/g: no flight goes down; type the Drop to the ground to have that checked."],
    ["A: it is not given; give the flight's nosing: at least 3/4\" is required.",
      "A: it is not given; type its Nosing: at least 3/4\" is required."],
    ["No occupancy is given: the code was read for a shared deck, not one dwelling's deck.",
      "Who uses the deck is not said: the code was read for a shared deck, not the deck of one household."],
    ["By the occupancy that is given, the code was read for one dwelling's deck.",
      "By what is said under Who uses the deck, the code was read for the deck of one household."],
    ["as people can walk beneath it; say beneath: shielded where nobody can, or where they are shielded.",
      "as people can walk beneath it; say so at Below the edges where nobody can, or where they are shielded."],
    ["see on site that it goes on, or end the railing in a post of its own.",
      "see on site that it goes on, or choose a post at that wall under Drop, wall ends and more."],
    ["3' 8\" or 3', by how many people the deck is for (occupants), which is not given: give it.",
      "3' 8\" or 3', by how many people the deck is for (type it under Who uses the deck), which is not given: give it."],
    ["square-in: the code does not state infill_load_side.",
      "The kit: the code does not state infill load side."],
    ["top_rail_picket: every piece comes out of a stick.", "Top rail: every piece comes out of a stick."],
    ["say in strength.post.welded whether", "say in the kit's strength, post, welded whether"],
    ["k: the strength of the posts was not checked: the kit gives no strength: give it in the kit.",
      "k: the strength of the posts was not checked: the kit does not tell it; its maker can."],
    ["by the drop, which is not given: give it", "by the drop, which is not given: type it"],
    ["A: the edges rise less: lay the deck out to a finer precision.",
      "A: the edges rise less: choose a finer mark under Smallest mark."],
    ["A: the risers come to 4'; give the drop of the level at its foot to have that checked.",
      "A: the risers come to 4'; type the drop of the level at its foot to have that checked."],
    ["with k_mod 0.7 and C_D 1", "with k_mod 0.7 and C_D 1"], // Factors of timber keep their names.
  ];
  for (const [said, told] of cases) assert.equal(say(said), told);
  // What the deck's maker called something stays as it is.
  assert.equal(say("back_steps: no to_level", ["back_steps"]), "back_steps: no to level");
  const findings = [{ where: ["main_deck/edge 0"] }, { where: ["square-in", "top_rail_picket"] }];
  assert.deepEqual([...ownIds({ findings, kit })], ["main_deck", "edge", "0"]);
  assert.deepEqual(["square-in", "top_rail_picket", "B1"].map((id) => placeWords(id, kit, name)),
    ["the kit", "Top rail", "B1"]);
});

test("a finding's inches off all marks are about what a tape reads, a limit's on its safe side", () => {
  const say = (message) => plainly(message, { id: "k" }, (role) => role, new Set());
  const cases = [
    ["A: each riser is 9.6\" high; at most 7 3/4\" is allowed.", "A: each riser is about 9 5/8\" high; at most 7 3/4\" is allowed."],
    ["B1: at least 43.3071\" (1100 mm) is required.", "B1: at least 3' 7 5/16\" (1100 mm) is required."],
    // 1070 mm are 42.126 in, over 42 1/8: a guard of that much would fail. 99 mm are 3.898 in, under 3 15/16.
    ["B1: at least 42.126\" is required.", "B1: at least 3' 6 3/16\" is required."],
    ["B1: at most 3.898\" is allowed.", "B1: at most 3 7/8\" is allowed."],
    ["B1: the gap is 3.99\"; a 3.937\" (100 mm) sphere must not pass.",
      "B1: the gap is about 4\"; a 3.937\" (100 mm) sphere must not pass."],
    // By the sixteenth it would be the limit; by no mark is it another.
    ["B1: the gap is 4.03\"; a 4\" sphere must not pass.", "B1: the gap is about 4 1/32\"; a 4\" sphere must not pass."],
    ["B1: the gap is 4.001\"; a 4\" sphere must not pass.", "B1: the gap is 4.001\"; a 4\" sphere must not pass."],
    ["B1: 0.001\" off.", "B1: 0.001\" off."],
  ];
  for (const [message, told] of cases) assert.equal(say(message), told);
});

test("places are named as the form and the drawing have them", () => {
  const deck = copy(EXAMPLE);
  deck.levels[0].openings = [{ id: "A" }, { id: "2" }];
  deck.stairs = [{ id: "A", opening: "main/A" }];
  const told = (each, message) => wheres(each).finding(message);
  const cases = [
    ["main/edge 0, main/edge 1, main/edge 3: guarded.", "Edges 0, 1, 3: guarded."],
    ["main/edge 0 to 2, main/A: guarded.", "Edges 0 to 2, opening A: guarded."],
    ["main/A, main/2: a gap.", "Openings A, 2: a gap."],
    ["main: the posts.", "The deck: the posts."],
    ["A: each riser is 8\" high.", "Flight A: each riser is 8\" high."],
    ["P1 and P2, P5 and P6: too near.", "P1 and P2, P5 and P6: too near."],
    ["B1 to B4, B7: the gap: wide.", "B1 to B4, B7: the gap: wide."],
    ["Top rail, picket: 1/2\" of main.", "Top rail, picket: 1/2\" of main."],
    ["B1: as opening main/A is there, past main/edge 2.", "B1: as opening A is there, past edge 2."],
    ["B1: beside main/A; a gate main/A.", "B1: beside opening A; a gate A."],
  ];
  for (const [message, words] of cases) assert.equal(told(deck, message), words);
  // A level whose id a flight has, too, or that is called as posts, runs and bays are, has "level" before it.
  const [main] = deck.levels;
  const two = [main, { ...main, id: "low" }];
  const flight = [{ id: "main", opening: "main/A" }];
  for (const levels of [[main], two]) {
    assert.equal(told({ ...deck, levels, stairs: flight }, "main: each riser is 8\" high."), "Flight main: each riser is 8\" high.");
    assert.equal(told({ ...deck, levels: [{ ...main, id: "B1" }, ...levels] }, "B1: the gap."), "B1: the gap.");
  }
  assert.equal(told({ ...deck, stairs: flight }, "level main: the posts."), "The deck: the posts.");
  assert.equal(told({ ...deck, levels: two, stairs: flight }, "level main: the posts."), "Level main: the posts.");
  assert.equal(told({ ...deck, levels: two, stairs: flight }, "level main, low: the posts."), "Levels main, low: the posts.");
  const { inside, list } = wheres(deck);
  assert.equal(inside("Edges 0 and 2 of level main cross or touch."), "Edges 0 and 2 cross or touch.");
  assert.equal(inside("The outline of level main encloses nothing."), "The outline of the deck encloses nothing.");
  assert.equal(inside("It stands on the deck of level main, along edge 1 of main."), "It stands on the deck, along edge 1.");
  assert.equal(list("main/edge 3"), "edge 3");
  assert.equal(list("main/edge 0, main/edge 1, main/edge 2, main/edge 4, main/A"), "edges 0 to 2, 4, opening A");
  // A level that is called by a number, or by a part of another's name.
  deck.levels[0].id = "1";
  assert.equal(wheres(deck).inside("1/2\" off 1/A"), "1/2\" off opening A");
  deck.levels = [{ ...deck.levels[0], id: "low" }, { ...deck.levels[0], id: "low.er", outline: { ties: {} } }];
  assert.equal(told(deck, "low/edge 0, low.er/edge 0, low.er/edge 1, low.er/A: open, by edge 0 of low."),
    "Edge 0 of low, edges 0, 1 of low.er, opening A of low.er: open, by edge 0 of low.");
  assert.equal(told(deck, "low, low.er: the posts."), "Levels low, low.er: the posts.");
  // Corners of two tapes are counted from 1 in the form.
  assert.equal(told(deck, "low.er/corner 0 to 2: crossing."), "Corners 1 to 3 of low.er: crossing.");
  assert.equal(told(deck, "low/corner 0: crossing."), "Corner 0 of low: crossing.");
});

test("the refusal of an id that none may be is told as it came", () => {
  for (const id of ["a(b", "a[", "m\\", "a+b", 5, null, undefined]) {
    const told = wheres({ levels: [{ id }] }).inside("A level's id has letters, digits, . _ and - only.");
    assert.equal(told, "A level's id has letters, digits, . _ and - only.", id);
  }
  assert.equal(wheres({ levels: [{ id: "a(b" }] }).inside("a(b/edge 1"), "edge 1");
});

test("a tape text in a sentence does not break at the end of a line", () => {
  assert.equal(unbroken("P3, P4: from 3' 0 5/16\" to 7 3/4\", 4' 6\" and 3/4\" at edges 0, 1 and 3."),
    "P3, P4: from 3'\u00a00\u00a05/16\" to 7\u00a03/4\", 4'\u00a06\" and 3/4\" at edges 0, 1 and 3.");
});

// {figure: {value, ...}} as a code has them.
const codeOf = (unit, figures) => ({ id: "c", title: "C", unit, figures });
const VOCABULARY = figuresOf(JSON.parse(readFileSync(process.env.SCHEMA, "utf8")));

test("a local change goes out under its figure's name, by its kind, and comes back as it was", () => {
  const form = example();
  const said = (figure, value) => {
    press(form, "add-amendment");
    const row = form.amendments.length - 1;
    takeIn(form, `amendments.${row}.figure`, figure, { figures: VOCABULARY, kits: [] });
    takeIn(form, `amendments.${row}.value`, value, { kits: [] });
  };
  assert.equal(toDocument(form).document.amendments, undefined);
  said("guard_height", "3' 6");
  said("handrail_required_risers", "3");
  said("glass_top_rail", "required");
  said("guard_point_load", "250");
  said("opening_sphere", ""); // The code's.
  said("", "12");
  const amended = { guard_height: "3' 6\"", handrail_required_risers: 3, glass_top_rail: "required", guard_point_load: 250 };
  const { document, places } = toDocument(form);
  assert.deepEqual(document.amendments, amended);
  assert.equal(fieldOf(places, "/amendments/guard_point_load"), "amendments.3.value");
  assert.deepEqual(fromDocument(document).amendments.map(({ figure, value }) => [figure, value]),
    Object.entries(amended).map(([figure, value]) => [figure, String(value)]));
  // A figure that is chosen in another's place has no value yet.
  takeIn(form, "amendments.0.figure", "guard_required_drop", { figures: VOCABULARY, kits: [] });
  assert.equal(form.amendments[0].value, "");
  assert.equal(losing(form, "remove-amendment", 1), "Local change 2 was taken out.");
});

test("what an opened document amends is saved as it was written, also before the vocabulary is there", () => {
  for (const amendments of [{ guard_height: "3'6\"", glass_make: "safety or wired", riser_max: 7.5 }, {}, null, [3], 42,
    { riser_max: null, guard_height: 42, no_such: [1], glass_make: "" }]) {
    const deck = { ...copy(EXAMPLE), amendments };
    assert.deepEqual(toDocument(fromDocument(deck)).document.amendments, amendments);
    assert.deepEqual(differing(deck, toDocument(fromDocument(deck)).document), []);
  }
  const form = fromDocument({ ...copy(EXAMPLE), amendments: { riser_max: null } });
  assert.deepEqual([hidden(form), form.amendments], [["more amendments"], []]);
  assert.deepEqual(hidden(fromDocument({ ...copy(EXAMPLE), amendments: { riser_max: 7 } })), []);
});

test("a local length goes with the tape, a local force holds it", () => {
  const form = fromDocument({ ...copy(EXAMPLE), amendments: { guard_height: 42, handrail_sides: 2 } });
  assert.deepEqual(bound(form), ["amendments"]); // While nobody knows what they are.
  fillKinds(form, VOCABULARY);
  assert.deepEqual(bound(form), []);
  switchUnit(form, "mm"); // 42 x 25.4 = 1066.8
  assert.deepEqual(toDocument(form).document.amendments, { guard_height: 1066.8, handrail_sides: 2 });
  const loaded = fromDocument({ ...copy(EXAMPLE), amendments: { guard_point_load: 250 } });
  fillKinds(loaded, VOCABULARY);
  assert.deepEqual(bound(loaded), ["amendments"]);
});

test("what the code has is told in the document's unit, with its cases and clause", () => {
  const code = codeOf("in", {
    guard_height: { value: 42, twin: 1067, cite: "1.2", when: [
      { measure: "occupancy", is: "dwelling", value: 36, twin: 914 },
      { measure: "drop", above: 72, above_twin: 1829 }] },
    handrail_sides: { value: 1, cite: "2", when: [{ measure: "risers", above: 3, value: 2 }] },
    stair_width: { value: 36, cite: "3", when: [{ measure: "occupants", from: 50, value: 44 }] },
    nosing_min: { cite: "4", when: [{ measure: "going", from: 11, value: 0.75 }] },
    guard_line_load: { value: 50, twin: 0.73, cite: "5" }, infill_point_load: { value: 50, cite: "6" },
    glass_top_rail: { value: "required", cite: "7" } });
  const told = (name, unit) => ownWords(name, code, { [name]: { ...VOCABULARY[name], words: "W" } }, unit);
  const whole = " What is typed here holds in all these cases.";
  assert.equal(told("guard_height", "in"), "W: the code has 3' 6\"; 3' where one household uses the deck; no figure where the "
    + `drop is over 6', by 1.2.${whole}`);
  assert.equal(told("guard_height", "mm"), "W: the code has 1067 mm; 914 mm where one household uses the deck; no figure where "
    + `the drop is over 1829 mm, by 1.2.${whole}`);
  // 36 x 25.4 = 914.4, 44 x 25.4 = 1117.6
  assert.equal(told("stair_width", "mm"), "W: the code has 3' (about 914 mm); 3' 8\" (about 1118 mm) where the deck is for 50 or "
    + `more people, by 3.${whole}`);
  assert.equal(told("handrail_sides", "in"), `W: the code has 1; 2 where a flight has over 3 risers, by 2.${whole}`);
  assert.equal(told("nosing_min", "in"), `W: the code has no figure; 3/4" where the tread run is 11" or more, by 4.${whole}`);
  assert.equal(told("guard_line_load", "mm"), "W: the code has 0.73 kN to a metre, by 5.");
  assert.equal(told("infill_point_load", "mm"), "W: the code has 50 lbf, by 6."); // In which unit it is, is said.
  assert.equal(told("glass_top_rail", "in"), "W: the code has required, by 7.");
  assert.equal(told("riser_max", "in"), "The code that is chosen states no such figure.");
  assert.equal(ownWords("riser_max", undefined, VOCABULARY, "in"), "");
});

test("every figure of the vocabulary has its words, its kind and, of loads, its units", () => {
  const kinds = new Set(Object.values(VOCABULARY).map(({ kind }) => kind));
  assert.deepEqual([...kinds].sort(), ["length", "load", "number", "text", "words"]);
  for (const [name, { words, units, choices, kind }] of Object.entries(VOCABULARY)) {
    assert.match(words, /^[A-Z][^.]+$/, name);
    assert.equal(kind === "words", choices.length > 0, name);
    if (kind === "load") assert.ok(/^lbf/.test(units.in) && /^k?(N|Pa)/.test(units.mm), name);
  }
  assert.deepEqual(VOCABULARY.guard_height, { words: "Least height of a guard above the walking surface", kind: "length",
    units: null, choices: [] });
  const code = codeOf("in", { riser_max: {}, guard_height: {}, tread_slope: {}, guard_line_load: {} });
  assert.deepEqual(grouped(code, VOCABULARY), [["Guards", ["guard_height"]], ["Steps", ["riser_max"]],
    ["Loads", ["guard_line_load"]]]);
});

test("a walk that closes with one square corner turned the other way is asked about there", () => {
  // 16' = 10' + 6', 14' = 8' 6" + 5' 6": an L whose inner corner comes after side 2.
  const l = ["16'", "8' 6", "6'", "5' 6", "10'", "14'"];
  const asked = (lengths, turns = []) => {
    const form = example();
    takeIn(form, "way", "sides", { kits: [] });
    while (form.levels[0].sides.length < lengths.length) addRow(form.levels[0]);
    lengths.forEach((length, i) => Object.assign(form.levels[0].sides[i], { length, turn: turns[i] ?? "90" }));
    const { document, places } = toDocument(form);
    return doubts(document, places).map(({ words, meant, field }) => [words, meant, field]);
  };
  assert.deepEqual(asked(l), [["The walk closes with a turn of -90° after side 2: was -90 meant?", "-90", "sides.2.turn"]]);
  assert.deepEqual(asked(l, [, , "-90"]), []);
  assert.deepEqual(asked(["16'", "8' 6", "6'", "5' 6", "10'", "13'"]), []); // No way closes it.
  assert.deepEqual(asked(["16'", "8' 6", "", "5' 6", "10'", "14'"]), []);
  assert.deepEqual(asked(l, ["90", "45"]), []);
  // The last turn moves nothing: it is seen by once round. Twice round a square is not.
  assert.deepEqual(asked(l, ["90", "90", "-90", "90", "90", "-90"]),
    [["The walk closes with a turn of 90° after side 5: was 90 meant?", "90", "sides.5.turn"]]);
  assert.deepEqual(asked(Array(8).fill("10'")), []);
  assert.deepEqual(asked(["10'", "10'", "10'", "10'"], ["90", "90", "-90", "90"]),
    [["The walk closes with a turn of 90° after side 2: was 90 meant?", "90", "sides.2.turn"]]);
});

test("what was hardly meant is asked first at its field, whatever is wrong there", () => {
  const form = example();
  takeIn(form, "rectangle.depth", "3", { kits: [] });
  const { document, places } = toDocument(form);
  const stretch = (edge) => ({ pointer: `/levels/0/outline/sides/${edge}/length`, code: "no_room", message: `Edge ${edge}.` });
  const errors = [stretch(1), stretch(3), { pointer: "/kit", code: "unknown_kit", message: "No such kit." }];
  const told = placeErrors(places, { errors }, "in", () => false, doubts(document, places));
  assert.deepEqual(told.map(({ field, words }) => [field, words]),
    [["rectangle.depth", "3 in deep: was 3' meant?"], ["kit", "No such kit."]]);
});

test("the deck's line names local figures, and whose the height is", () => {
  const amendments = { guard_height: 42, tread_slope: "a slope that takes a sentence to tell" };
  const told = deckLine({ ...copy(EXAMPLE), amendments }, { bays: [{ height_text: "3' 6\"" }] });
  assert.match(told, / · guard 3' 6" high by the local authority · 2 local changes: guard height 42, tread slope · drop/);
});

test("a refused amendment says what to do where it was typed, or in the document", () => {
  const told = (code, message, unit = "mm", places = { "/amendments/guard_height": "amendments.0.value" }) =>
    placeErrors(places, { errors: [{ pointer: "/amendments/guard_height", code, message }] }, unit)
      .map(({ field, words }) => [field, words]);
  const at = "amendments.0.value";
  const slip = "36 is not taken: the document's unit is mm, and the code has guard_height 914 mm. Send it as text that names its "
    + "unit: 36\" or 36 mm.";
  assert.deepEqual(told("amendment_of_other_unit", slip),
    [[at, "36 is not taken: the code has 914 mm. Type it with its unit: 36\" or 36 mm."]]);
  assert.deepEqual(told("amendment_of_other_unit", "1070 is not taken: the document's unit is in, and the code has guard_height 36 "
    + "in. Send it as text that names its unit: 1070 mm or 1070\".", "in"),
  [[at, "1070 is not taken: the code has 3'. Type it with its unit: 1070 mm or 1070\"."]]);
  assert.deepEqual(told("amendment_of_other_unit", "0.7 lbf/ft is not taken: the code has guard_line_load 50 lbf/ft. Convert it, "
    + "if it is 0.7 kN/m.", "in"), [[at, "0.7 lbf/ft is not taken: the code has guard line load 50 lbf/ft. Convert it, if it is "
    + "0.7 kN/m."]]);
  const none = "The code c states no guard_height to amend; it states going_min.";
  assert.deepEqual(told("figure_not_in_code", none),
    [[at, "The code that is chosen states no such figure. Take it out, or choose another code."]]);
  assert.deepEqual(told("figure_not_in_code", none, "mm", { "/unit": "unit" }),
    [[null, "The code that is chosen states no such figure. Mend it in the document, and open that again."]]);
  assert.deepEqual(told("unknown_member", "No member \"guard_height\" is known here; known are riser_max and 83 more."),
    [[at, "There is no such figure. Take it out."]]);
  assert.deepEqual(told("out_of_range", "61 does not fit: send a whole number from 1 to 60."),
    [[at, "Type a whole number from 1 to 60."]]);
  const form = fromDocument({ ...copy(EXAMPLE), amendments: { guard_height: 42 } });
  const [without] = placeErrors(toDocument(form).places, { errors: [{ pointer: "/amendments", code: "amendments_without_code",
    message: "There are amendments but no code that they amend; name one in code." }] }, "in");
  assert.deepEqual([without.field, without.words], ["amendments.0.figure",
    "No building code is chosen that this would change: choose one, or take the local changes out."]);
});

test("a refusal's inches are told as a tape reads them", () => {
  // 10.1415 is 10 and 2.264 sixteenths; 656.2793 is 54 ft 8 and 4.47 sixteenths.
  assert.equal(taped("It misses by 10.1415 in of 656.2793 in.", "in"), "It misses by 10 1/8\" of 54' 8 1/4\".");
  // Neither of two that read alike is on a mark: they are as near as a tape tells.
  assert.equal(taped("10.1415 in and 10.1353 in", "in"), "10 1/8\" and 10 1/8\"");
  assert.equal(taped("3.5 in in from the edge", "in"), "3 1/2\" in from the edge");
  // 0.01 in apart read alike to the sixteenth, and to the sixty-fourth: 6.02 is 6 and 1.28 of those.
  assert.equal(taped("6.02 in, at most 6 in", "in"), "6 1/64\", at most 6\"");
  assert.equal(taped("6.002 in, at most 6 in", "in"), "6.002 in, at most 6 in");
  assert.equal(taped("It rises 0.002 in.", "in"), "It rises 0.002 in."); // Not nothing.
  for (const [said, unit] of [["100 mm, at most 90 mm", "mm"], ["to 5 in the unit of its own", "in"]]) {
    assert.equal(taped(said, unit), said);
  }
});

test("a code is told by its year first, and by an edition that is none after its title", () => {
  assert.equal(codeWords({ title: "Residential Code, Elsewhere", edition: "2021" }), "2021 Residential Code, Elsewhere");
  assert.equal(codeWords({ title: "Code F4", edition: "as in force in 2016" }), "Code F4 as in force in 2016");
});

test("an answer is called slow, then late, unless it has come or another is waited for", (t) => {
  t.mock.timers.enable({ apis: ["setTimeout"] });
  const said = [];
  const begin = (signal) => watch(signal, { slow: () => said.push("slow"), late: () => said.push("late") });
  begin(new AbortController().signal);
  t.mock.timers.tick(599);
  assert.deepEqual(said, []);
  t.mock.timers.tick(1);
  assert.deepEqual(said, ["slow"]);
  t.mock.timers.tick(19_400);
  assert.deepEqual(said, ["slow", "late"]);
  const ended = new AbortController();
  begin(ended.signal);
  ended.abort();
  begin(new AbortController().signal)();
  t.mock.timers.tick(60_000);
  assert.deepEqual(said, ["slow", "late"]);
});

test("what takes too long is nothing", async () => {
  assert.equal(await within(5, new Promise(() => {})), null);
  assert.equal(await within(5000, Promise.resolve(7)), 7);
});

test("a plain number is read back as it will be taken", () => {
  const cases = [["20", "in", "= 1' 8\""], ["48", "in", "= 4'"], ["8.5", "in", "= 8 1/2\""],
    ["8.3", "in", "about 8 19/64\""], // 0.3 x 64 = 19.2
    ["-30", "in", "= -2' 6\""], ["2400", "mm", "= 2.4 m"], ["20", "mm", "= 0.02 m"],
    ["20'", "in", ""], ["0", "in", ""], ["20 fx", "in", ""], [" ", "in", ""]];
  for (const [typed, unit, told] of cases) assert.equal(readBack(typed, unit), told, typed);
});

test("a size that is a small plain number is asked about", () => {
  const deck = (unit, outline) => ({ unit, levels: [{ id: "main", outline }] });
  const sides = (...lengths) => ({ sides: lengths.map((length) => ({ length })) });
  const cases = [
    [deck("in", sides(20, 12, 20, 12)), ["20 in wide: was 20' meant?", "12 in deep: was 12' meant?"]],
    [deck("in", sides(36, "12\"", 36, "12\"")), []], // 3 ft, and a text that names its unit
    [deck("in", sides(240, 20, 96, 90, 144)), ["20 in along side 1: was 20' meant?"]],
    [deck("in", { sides: [{ length: 240 }, {}, { length: 96 }] }), []], // one is worked out
    [deck("in", { points: [[5, 0], [25, 0], [25, 144]] }), ["20 in wide: was 20' meant?"]],
    [deck("in", { ties: { baseline: 20, corners: [{ from_a: 9, from_b: 9 }] } }),
      ["20 in from A to B: was 20' meant?"]],
    [deck("mm", sides(6, 400, 6, 400)), ["6 mm wide: was 6 m meant?", "400 mm deep: was 400 cm meant?"]],
    [deck("mm", sides(900, 900, 900, 900)), []],
  ];
  const words = (of) => doubts(of).map((each) => each.words);
  for (const [of, asked] of cases) assert.deepEqual(words(of), asked);
  const two = deck("in", sides(20, 144, 20, 144));
  two.levels.push({ id: "low", outline: sides(90, 90, 90, 90) });
  assert.deepEqual(words(two), ["On main, 20 in wide: was 20' meant?"]);
  const low = (unit, drop, ...widths) => ({ unit, levels: [{ id: "main", drop, outline: sides(1199, 1199),
    openings: widths.map((width, i) => ({ id: "AB"[i], width })) }] });
  assert.deepEqual(words(low("in", 4, 3.5, 36)),
    ["4 in of drop: was 4' meant?", "3.5 in clear at opening A: was 3.5' meant?"]);
  assert.deepEqual(words(low("in", "4\"", "23\"")), []);
  for (const drop of [0, 12, undefined]) assert.deepEqual(words(low("in", drop)), []);
  assert.deepEqual(words(low("mm", 1.2, 90)), ["1.2 mm of drop: was 1.2 m meant?",
    "90 mm clear at opening A: was 90 cm meant?"]);
  const high = (unit, height) => words({ ...low(unit), guard: { height } });
  assert.deepEqual([high("in", 3.5), high("mm", 1.1), high("in", 12), high("in", "3\""), high("in")],
    [["3.5 in high: was 3.5' meant?"], ["1.1 mm high: was 1.1 m meant?"], [], [], []]);
});

test("a plain number of inches as large as one of millimetres is asked about", () => {
  const deck = (unit, wide, drop, width, height) => ({ unit, guard: { height }, levels: [{ id: "main", drop,
    outline: { sides: [wide, 1000, wide, 1000].map((length) => ({ length })) }, openings: [{ id: "A", width }] }] });
  const asked = (...of) => doubts(deck(...of)).map(({ words, meant }) => [words, meant]);
  // 100 ft of a deck, 33 ft 4 in of drop, 20 ft of an opening, 8 ft of a guard
  assert.deepEqual(asked("in", 1199, 399, 239, 95), []);
  assert.deepEqual(asked("in", 1200, 400, 240, 96), [["1200 in wide: was 1200 mm meant?", "1200 mm"],
    ["400 in of drop: was 400 mm meant?", "400 mm"],
    ["240 in clear at opening A: was 240 mm meant?", "240 mm"], ["96 in high: was 96 mm meant?", "96 mm"]]);
  assert.deepEqual(asked("in", "1200\"", "40'", "30'", "900 mm"), []); // text names its unit
  assert.deepEqual(asked("mm", 6000, 1200, 900, 1000), []);
});

test("what was hardly meant leads to its field and to what was meant", () => {
  const form = example();
  Object.assign(form.levels[0].rectangle, { width: "20" });
  Object.assign(form.levels[0], { drop: "4" });
  addOpening(form.levels[0]);
  Object.assign(form.levels[0].openings[0], { from: "8", width: "3" });
  const asked = () => {
    const { document, places } = toDocument(form);
    return doubts(document, places).map(({ field, meant }) => [field, meant]);
  };
  assert.deepEqual(asked(), [["rectangle.width", "20'"], ["drop", "4'"], ["openings.0.width", "3'"]]);
  form.levels[0].rectangle.width = "20'";
  addLevel(form);
  assert.deepEqual(asked(), [[undefined, "4'"], [undefined, "3'"]]); // The fields are of another level.
});

test("a field of a level that is not shown is called by words", () => {
  const cases = [["openings.0.flight.going", "opening 1, tread run"], ["openings.1.width", "opening 2, width"],
    ["sides.3.length", "side 3, length"], ["corners.0.from_a", "corner 1, A"], ["edges.2.height", "edge 2, height"],
    ["rectangle.depth", "depth"], ["drop", "drop"], ["framing.joist_spacing", "joists, spacing"],
    ["openings.0.flight.guards.left", "opening 1, guards"], ["columns.1.turn", "column 2, turn"], ["odd", "odd"]];
  for (const [field, words] of cases) assert.equal(fieldWords(field), words);
});

test("a passage has no steps, and steps that are off are kept as they were typed", () => {
  const form = example();
  addOpening(form.levels[0]);
  const [one] = form.levels[0].openings;
  press(form, "flight", 0, null);
  assert.equal(one.flight.rise, "48"); // The drop of the level.
  Object.assign(one.flight, { risers: "7", going: "10 1/2" });
  const stairs = () => toDocument(form).document.stairs;
  const told = stairs();
  assert.equal(told.length, 1);
  one.use = "passage";
  assert.equal(stairs(), undefined);
  one.use = "gate";
  assert.deepEqual(stairs(), told);
  press(form, "flight", 0, null);
  assert.equal(stairs(), undefined);
  press(form, "flight", 0, null);
  assert.deepEqual(stairs(), told);
});

test("what is wrong inside a whole kit or code is told with its place, and where it is mended", () => {
  const [told] = placeErrors({ "/code": "code", "/kit": "kit" }, { errors: [{ pointer: "/code/figures/climb_zone_to/value",
    code: "half_of_a_pair", message: "climb_zone_to is 760 where climb_zone_from has no value: give that a value." }] }, "in");
  assert.deepEqual([told.field, told.words], ["code", "climb zone to is 760 where climb zone from has no value: give that a "
    + "value. It stands in the document at /code/figures/climb_zone_to/value: mend it there, and open that again."]);
});

test("what is the service's trouble is not told as the deck's", () => {
  for (const status of [400, 413, 422]) assert.equal(trouble(status), null);
  assert.equal(trouble(401).title, "The service asks for a key");
  assert.equal(trouble(401, { tried: true }).title, "This key is not right");
  for (const status of [429, 503]) {
    assert.deepEqual([trouble(status).title, trouble(status).words],
      ["The service is busy", "Nothing typed is lost. Wait a little, then press Enter in a field."]);
    assert.match(trouble(status, { wait: 2 }).words, /asked again by itself in 2 s\.$/);
  }
  // Of someone between, who says nothing of the deck.
  assert.match(trouble(413, { heard: false }).title, /too large/);
  for (const status of [400, 404, 422, 500, 502]) {
    const { title, words } = trouble(status, { heard: false });
    assert.equal(title, "The service does not answer");
    assert.match(words, new RegExp(`${status}.*Nothing typed is lost`));
  }
});

test("what a button takes out is named before it goes", () => {
  const form = example();
  addOpening(form.levels[0]);
  switchWay(form.levels[0], "sides", "in");
  assert.equal(losing(form, "remove-opening", 0), "Opening A was taken out.");
  assert.equal(losing(form, "remove-no-post", 1), "No-post place 2 was taken out.");
  assert.equal(losing(form, "remove-column", 0), "Column 1 was taken out.");
  assert.equal(losing(form, "remove-row", 3), "Side 3 was taken out.");
  switchWay(form.levels[0], "points", "in");
  assert.equal(losing(form, "remove-row", 2), "Corner 2 was taken out.");
  switchWay(form.levels[0], "ties", "in");
  assert.equal(losing(form, "remove-row", 1), "Corner 2 was taken out."); // as the form counts them
  for (const what of ["add-row", "flight", "list-bays"]) assert.equal(losing(form, what, 0), null);
});

test("a place where no post may stand goes out as it was typed", () => {
  const form = example();
  const [level] = form.levels;
  addNoPost(level);
  Object.assign(level.no_post[0], { edge: "1", from: "2' 6", width: "8", why: "downpipe" });
  const { document, places } = toDocument(form);
  assert.deepEqual(document.levels[0].no_post, [{ edge: 1, from: "2' 6\"", width: 8, why: "downpipe" }]);
  for (const name of ["edge", "from", "width", "why"]) {
    assert.equal(fieldOf(places, `/levels/0/no_post/0/${name}`), `no_post.0.${name}`);
  }
  assert.equal(fieldOf(places, "/levels/0/no_post/0"), "no_post.0.from"); // what is to be changed
  const again = fromDocument(copy(document));
  assert.deepEqual([hidden(again), bound(again)], [[], []]);
  assert.deepEqual(toDocument(again).document, document);
  level.no_post[0].why = "";
  switchUnit(form, "mm"); // 8 x 25.4 = 203.2
  assert.deepEqual(toDocument(form).document.levels[0].no_post, [{ edge: 1, from: "2' 6\"", width: 203.2 }]);
});

test("what no row can hold of an opened document is kept, and named", () => {
  const deck = copy(EXAMPLE);
  const place = { edge: 0, from: 30, width: 12 };
  const octagon = { name: "round", points: [[9, 0], [12, 3], [12, 6], [9, 9], [6, 9], [3, 6], [3, 3], [6, 0]] };
  const askew = { name: "askew", points: [[60, 0], [63, 3], [60, 7], [57, 3]] };
  const square = { name: "roof", points: [[90, 0], [96, 0], [96, 6], [90, 6]] };
  const odd = [{ name: "none" }, "odd", { ...square, name: 7 }, { ...square, points: square.points.slice(1) },
    { ...square, points: [[90, 0], [96, 0], [90, 0], [96, 0]] },
    { ...square, points: [[90, 0], [96, 6], [96, 0], [90, 6]] }]; // crosses itself
  deck.levels[0].no_post = ["odd", place, { edge: "0", from: 1, width: 2 }, { ...place, from: null }];
  deck.levels[0].obstructions = [octagon, square, askew, ...odd];
  const form = fromDocument(copy(deck));
  assert.deepEqual([form.levels[0].no_post.length, form.levels[0].columns.length], [1, 1]);
  assert.deepEqual(hidden(form), ["more no_post", "more obstructions"]);
  assert.deepEqual(bound(form), ["more no_post", "more obstructions"]);
  assert.deepEqual(toDocument(form).document.levels[0].no_post, deck.levels[0].no_post);
  const { document, places } = toDocument(form);
  assert.deepEqual(document.levels[0].obstructions, deck.levels[0].obstructions);
  assert.equal(places["/levels/0/obstructions/1/points"], "columns.0.from");
});

// A column of the first level of a form, as its corners go out.
function columnOf(form, row) {
  addColumn(form.levels[0]);
  Object.assign(form.levels[0].columns[0], row);
  return toDocument(form).document.levels[0].obstructions[0];
}

const near = (told, wanted) => told.flat().forEach((each, i) =>
  assert.ok(Math.abs(each - wanted.flat()[i]) < 1e-3, `${JSON.stringify(told)} is not ${JSON.stringify(wanted)}`));

test("a column goes out by its corners, from along which edge it was measured", () => {
  // 20' by 12': the front from (0,0) to the right, the deck above it.
  assert.deepEqual(columnOf(example(), { from: "10'", width: "6", in: "0", depth: "6" }),
    { name: "column 1", points: [[120, 0], [126, 0], [126, 6], [120, 6]] });
  // The right side from (240,0) up, the deck to its left: 2 in beyond it, 4 deep.
  assert.deepEqual(columnOf(example(), { name: "chimney", edge: "1", from: "24", width: "8", in: "-2", depth: "4" }),
    { name: "chimney", points: [[242, 24], [242, 32], [238, 32], [238, 24]] });
  // The house side from (240,144) to the left.
  assert.deepEqual(columnOf(example(), { edge: "2", from: "1' 8", width: "10", in: "0", depth: "3 1/2" }).points,
    [[220, 144], [210, 144], [210, 140.5], [220, 140.5]]);
  // Corners given the other way round: edge 0 goes up at the left, and the deck is to its right.
  const turned = example();
  switchWay(turned.levels[0], "points", "in");
  turned.levels[0].points = [[0, 0], [0, 144], [240, 144], [240, 0]].map(([x, y]) => ({ x: `${x}`, y: `${y}` }));
  assert.deepEqual(columnOf(turned, { from: "24", width: "6", in: "1", depth: "4" }).points,
    [[1, 24], [1, 30], [5, 30], [5, 24]]);
  // A bow changes nothing: by the straight line between the corners.
  const bowed = example();
  bowed.levels[0].edges[0].bow = "18";
  assert.deepEqual(columnOf(bowed, { from: "120", width: "6", in: "-18", depth: "6" }).points,
    [[120, -18], [126, -18], [126, -12], [120, -12]]);
  // A second level, from (24,-141) on: its left side comes down from (24,-21).
  const two = twoLevels();
  addColumn(two.levels[1]);
  Object.assign(two.levels[1].columns[0], { edge: "3", from: "10", width: "6", in: "0", depth: "5" });
  const { document, places } = toDocument(two);
  assert.deepEqual(document.levels[1].obstructions[0].points, [[24, -31], [24, -37], [29, -37], [29, -31]]);
  assert.equal(fieldOf(places, "/levels/1/obstructions/0"), "columns.0.from");
  two.at = 0;
  assert.equal(fieldOf(toDocument(two).places, "/levels/1/obstructions/0"), "at/level-2/columns.0.from");
});

test("a round column goes out by flat sides that touch it from outside", () => {
  // 10 across, from 60 along the front and 1 1/2 in front of it: its middle at (65, 3.5), 5 to every side.
  const form = example();
  const { points } = columnOf(form, { shape: "round", from: "60", width: "10", in: "-1 1/2", depth: "left over" });
  assert.equal(points.length, 32);
  const off = ([x, y]) => Math.hypot(x - 65, y - 3.5);
  const middles = points.map(([x, y], i) => [0, 1].map((k) => ([x, y][k] + points[(i + 1) % 32][k]) / 2));
  for (const each of middles) assert.ok(Math.abs(off(each) - 5) < 1e-3);
  for (const each of points) assert.ok(Math.abs(off(each) - 5 / Math.cos(Math.PI / 32)) < 1e-3);
  for (const end of [[60, 3.5], [70, 3.5], [65, -1.5], [65, 8.5]]) { // Its nearest sides, where they are measured.
    assert.ok(middles.some((each) => Math.hypot(each[0] - end[0], each[1] - end[1]) < 1e-3), `${end}`);
  }
  const [again] = fromDocument(toDocument(form).document).levels[0].columns;
  assert.deepEqual([again.shape, again.edge, again.from, again.width, again.in], ["round", "0", "60", "10", "-1.5"]);
  // On the right side of the deck, by the same measures: 240 + 1.5 - 5 = 236.5 in from the left.
  const beside = columnOf(example(), { shape: "round", edge: "1", from: "60", width: "10", in: "-1.5" });
  assert.ok(beside.points.every(([x, y]) => Math.hypot(x - 236.5, y - 65) < 5.03));
  Object.assign(form.levels[0].columns[0], { from: "20'" });
  assert.equal(past(form).length, 1);
});

test("a turned column goes out by its corner nearest the edge and the way its width goes", () => {
  // cos 30 = 0.86603, sin 30 = 0.5: 6 wide, 4 deep.
  const form = example();
  const row = { shape: "turned", from: "120", width: "6", in: "3 1/2", depth: "4", turn: "30°" };
  near(columnOf(form, row).points, [[120, 3.5], [125.1962, 6.5], [123.1962, 9.9641], [118, 6.9641]]);
  const { document } = toDocument(form);
  const again = fromDocument(copy(document));
  const [column] = again.levels[0].columns;
  for (const [name, value] of [["from", 120], ["width", 6], ["in", 3.5], ["depth", 4], ["turn", 30]]) {
    assert.ok(Math.abs(Number(column[name]) - value) < 1e-3, name);
  }
  assert.deepEqual([column.shape, column.edge], ["turned", "0"]);
  assert.deepEqual(toDocument(again).document, document);
  // The other corners of the same one first, and round the other way.
  document.levels[0].obstructions[0].points.reverse();
  const [other] = fromDocument(copy(document)).levels[0].columns;
  assert.deepEqual([other.shape, Number(other.turn).toFixed(2)], ["turned", "30.00"]);
  const told = (turn) => {
    form.levels[0].columns[0].turn = turn;
    const { document: deck, places } = toDocument(form);
    return placeErrors(places, { errors: coordinateFaults(deck) }, "in").map(({ field, words }) => [field, words]);
  };
  assert.deepEqual(told("a bit"), [["columns.0.turn", "Type a number of degrees, such as 45."]]);
  assert.deepEqual(told(""), [["columns.0.turn", "Something is needed here."]]);
});

test("a column past the end of its edge is asked about", () => {
  const form = example(); // Edge 0 is 20 ft long.
  columnOf(form, { edge: "0", from: "20'", width: "6", in: "0", depth: "6" });
  assert.deepEqual(past(form), ["Column 1 stands past the end of edge 0: was that meant?"]);
  Object.assign(form.levels[0].columns[0], { from: "19' 11\"", name: "Roof post" });
  assert.deepEqual(past(form), []);
  form.levels[0].columns[0].from = "-6";
  assert.deepEqual(past(form), ["Roof post stands past the end of edge 0: was that meant?"]);
});

test("a column of a walk and of two tapes goes by the corners that those come to", () => {
  // 40 to the right, 30 up, and 50 back, left empty: down the slope by (-0.8, -0.6), the deck to its
  // left by (0.6, -0.8). From (40,30) 10 along and 2 in is (33.2, 22.4).
  const walk = example();
  switchWay(walk.levels[0], "sides", "in");
  walk.levels[0].sides = [["40", "90"], ["30", "126.8699"], ["", ""]].map(([length, turn]) => ({ length, turn }));
  near(columnOf(walk, { edge: "2", from: "10", width: "5", in: "2", depth: "5" }).points,
    [[33.2, 22.4], [29.2, 19.4], [32.2, 15.4], [36.2, 18.4]]);
  // A house of 2 in less closes 2 in to the right of its start; of 766 in round, side 0 takes 240 / 766 of it.
  const gap = example();
  switchWay(gap.levels[0], "sides", "in");
  gap.levels[0].sides[2].length = "238";
  const left = (length) => 2 * length / 766;
  near(cornersOf(gap.levels[0], "in").corners,
    [[0, 0], [240 - left(240), 0], [240 - left(384), 144], [2 - left(622), 144]]);
  // Tapes of 30 and 40 at a wall of 50: a right angle, 30 x 30 / 50 = 18 along, 30 x 40 / 50 = 24 out.
  const ties = example();
  switchWay(ties.levels[0], "ties", "in");
  Object.assign(ties.levels[0], { baseline: "50", corners: [{ from_a: "30", from_b: "40" }] });
  assert.deepEqual(cornersOf(ties.levels[0], "in"), { corners: [[0, 0], [18, -24], [50, 0]], unread: [], whole: true });
  // From A by (0.6, -0.8), the wall to the left: 5 along is (3, -4), 5 in from there (7, -1).
  near(columnOf(ties, { edge: "0", from: "5", width: "10", in: "0", depth: "5" }).points,
    [[3, -4], [9, -12], [13, -9], [7, -1]]);
});

test("a column of an opened document is a row of the edge that it stands at, and comes back as it was", () => {
  // Begun at another corner, and the other way round.
  const column = { name: "roof", points: [[238, 32], [238, 24], [242, 24], [242, 32]] };
  const deck = copy(EXAMPLE);
  deck.levels[0].obstructions = [column];
  const form = fromDocument(copy(deck));
  const { edge, from, width, in: inward, depth } = form.levels[0].columns[0];
  assert.deepEqual([edge, from, width, inward, depth], ["1", "24", "8", "-2", "4"]);
  assert.deepEqual([hidden(form), bound(form)], [[], []]);
  assert.deepEqual(toDocument(form).document, deck);
  form.levels[0].drop = "50";
  assert.deepEqual(toDocument(form).document.levels[0].obstructions, [column]);
  form.levels[0].columns[0].from = "30"; // 6 in nearer to the house
  assert.deepEqual(toDocument(form).document.levels[0].obstructions[0].points,
    [[242, 30], [242, 38], [238, 38], [238, 30]]);
  form.levels[0].columns[0].from = "24";
  switchUnit(form, "mm"); // 240 x 25.4 = 6096, 2 x 25.4 = 50.8, 24 x 25.4 = 609.6
  near([toDocument(form).document.levels[0].obstructions[0].points[0]], [[6146.8, 609.6]]);
  // On the slope of a triangle of 40, 30 and 50 the numbers are what a person would have typed.
  const slope = { ...copy(EXAMPLE), levels: [{ id: "main", outline: { points: [[0, 0], [40, 0], [40, 30]] },
    obstructions: [{ name: "roof", points: [[33.2, 22.4], [29.2, 19.4], [32.2, 15.4], [36.2, 18.4]] }] }] };
  const [row] = fromDocument(copy(slope)).levels[0].columns;
  assert.deepEqual([row.edge, row.from, row.width, row.in, row.depth], ["2", "10", "5", "2", "5"]);
  assert.deepEqual(toDocument(fromDocument(copy(slope))).document, slope);
  // An L: in one line with edge 3, at x = 120 from y = 60 up, but beside edge 0, 20 in from it.
  const corners = [[0, 0], [240, 0], [240, 60], [120, 60], [120, 144], [0, 144]];
  const [beside] = fromDocument({ ...copy(EXAMPLE), levels: [{ id: "main", outline: { points: corners },
    obstructions: [{ name: "roof", points: [[114, 20], [120, 20], [120, 26], [114, 26]] }] }] }).levels[0].columns;
  assert.deepEqual([beside.edge, beside.from, beside.in], ["0", "114", "20"]);
  // Where the outline cannot be worked out nobody knows where along it a column is.
  slope.levels[0].outline.points[1][0] = "40 fx";
  const unknown = fromDocument(copy(slope));
  assert.deepEqual(hidden(unknown), ["more obstructions"]);
  assert.deepEqual(toDocument(unknown).document, slope);
});

// As the service refuses each coordinate that is none.
const coordinateFaults = (document) => document.levels[0].obstructions[0].points.flatMap((point, i) =>
  point.map((value, k) => [value, `/levels/0/obstructions/0/points/${i}/${k}`]))
  .filter(([value]) => typeof value !== "number")
  .map(([value, pointer]) => ({ pointer, code: "wrong_type",
    message: `${JSON.stringify(value)} does not fit: send a number from -1000000 to 1000000, in the document's unit.` }));

test("what a column lacks is told at its fields", () => {
  const told = (row, fresh) => {
    const form = example();
    columnOf(form, row);
    const { document, places } = toDocument(form);
    return placeErrors(places, { errors: coordinateFaults(document) }, "in", fresh)
      .map(({ field, words }) => [field.replace("columns.0.", ""), words]);
  };
  const needed = "Something is needed here.";
  assert.deepEqual(told({}), ["from", "width", "in", "depth"].map((name) => [name, needed]));
  assert.deepEqual(told({}, () => true).map(([, words]) => words), Array(4).fill("Still to type."));
  const typed = { from: "10'", width: "6", in: "0", depth: "6" };
  assert.deepEqual(told({ ...typed, in: "" }), [["in", needed]]);
  const above = "Type a length above 0, such as 12' 6 1/2\".";
  for (const size of ["0", "-6", "0.0"]) assert.deepEqual(told({ ...typed, depth: size }), [["depth", above]], size);
  const none = "This cannot be read as a length. Type it like 12' 6 1/2\".";
  assert.deepEqual(told({ ...typed, from: "6 fx", width: "" }), [["from", none], ["width", needed]]);
  assert.deepEqual(told({ ...typed, in: "0 fx" }), [["in", none]]);
  assert.deepEqual(told({ ...typed, edge: "5" }), [["edge", "This edge is not there; choose another."]]);
});

test("what is wrong with the outline is told there and not again by its columns", () => {
  const form = example();
  columnOf(form, { from: "10'", width: "6", in: "0", depth: "6" });
  form.levels[0].rectangle.width = "12-6";
  const { document, places } = toDocument(form);
  const wrong = [0, 2].map((side) => ({ pointer: `/levels/0/outline/sides/${side}/length`, code: "not_a_length",
    message: `"12-6" does not fit: send ${LENGTH}.` }));
  const echoes = coordinateFaults(document);
  assert.equal(echoes.length, 8);
  const told = (errors) => placeErrors(places, { errors }, "in").map(({ field, words }) => [field, words]);
  const why = "This may be feet and inches or not. Feet and inches are typed 12' 6\".";
  assert.deepEqual(told([...echoes, ...wrong]), [["rectangle.width", why]]);
  // Where nobody else says it, it is said.
  assert.deepEqual(told(echoes), [["rectangle.width", "This cannot be read as a length. Type it like 12' 6 1/2\"."]]);
  // What is empty the service misses by itself.
  form.levels[0].rectangle.width = "";
  assert.deepEqual(coordinateFaults(toDocument(form).document), []);
});

test("columns and places without a post move with their edges", () => {
  const form = example();
  const [level] = form.levels;
  switchWay(level, "sides", "in");
  addNoPost(level);
  addColumn(level);
  for (const one of [level.no_post[0], level.columns[0]]) one.edge = "2";
  insertRow(level, 0);
  assert.deepEqual([level.no_post[0].edge, level.columns[0].edge], ["3", "3"]);
  removeRow(level, 1);
  assert.deepEqual([level.no_post[0].edge, level.columns[0].edge], ["2", "2"]);
});

test("whatever fits the schema comes back as it was opened, after a reload too", () => {
  const schema = JSON.parse(readFileSync(process.env.SCHEMA, "utf8"));
  let flights = 0;
  for (let seed = 0; seed < 600; seed += 1) {
    const deck = fitting(schema, series(seed));
    const [{ id, openings: [one] = [] }] = deck.levels;
    for (const stair of deck.stairs ?? []) stair.opening = one && seed % 3 ? `${id}/${one.id}` : stair.opening;
    const form = copy(fromDocument(copy(deck)));
    flights += form.levels[0].openings.filter(({ flight }) => flight).length;
    const saved = copy(toDocument(form).document);
    assert.deepEqual(bare(saved), bare(deck), `seed ${seed}`);
    assert.deepEqual(differing(deck, saved), [], `seed ${seed}`);
  }
  assert.ok(flights > 50);
});

// Without the order of edges, and lists that hold nothing.
function bare(deck) {
  const told = plain(deck);
  for (const level of told.levels) {
    for (const name of ["openings", "obstructions", "no_post"]) if (!level[name]?.length) delete level[name];
  }
  for (const name of ["stairs", "site_measures", "stock_on_hand"]) if (!told[name]?.length) delete told[name];
  return told;
}

test("what an edge that is no guard is said to have is neither lost nor hidden", () => {
  const deck = copy(EXAMPLE);
  const wall = { edge: 2, condition: "wall", infill: "glass", height: "42\"" };
  deck.levels[0].edges = [wall, { edge: 0, condition: "guard" }, { edge: 1, condition: "open", height: 0.5 }];
  const form = fromDocument(copy(deck));
  assert.deepEqual(plain(toDocument(form).document), plain(deck));
  assert.deepEqual([form.levels[0].edges[2].infill, form.levels[0].edges[2].height], ["glass", "42\""]);
  form.levels[0].edges[2].height = "40";
  assert.deepEqual(toDocument(form).document.levels[0].edges.at(-1), { ...wall, height: 40 });
});

test("a text that was not touched goes out as the document wrote it, a typed one as a tape reads it", () => {
  const deck = copy(EXAMPLE);
  deck.levels[0].drop = "12'-6";
  deck.levels[0].edges[0].arc_rise = "78-3/8\"";
  const form = fromDocument(copy(deck));
  assert.deepEqual(toDocument(form).document, deck);
  form.levels[0].drop = "12'-7";
  form.levels[0].edges[2].bow = "78-5/8";
  const [level] = toDocument(form).document.levels;
  assert.deepEqual([level.drop, level.edges[0].arc_rise], ["12'-7\"", "78 5/8\""]);
});

test("what is none of the contract's is not put right without a word", () => {
  const deck = copy(EXAMPLE);
  Object.assign(deck, { title: 7, advise: "yes" });
  Object.assign(deck.levels[0], { drop: "48", edges: [{ edge: 2, height: true, infill: { a: 1 } }] });
  assert.deepEqual(plain(toDocument(fromDocument(copy(deck))).document), plain(deck));
  deck.levels[0].outline.sides[1].colour = "red"; // Of what no row can hold the place is told.
  delete deck.levels[0].id;
  assert.deepEqual(differing(deck, toDocument(fromDocument(copy(deck))).document),
    ["/levels/0/outline/sides/1/colour", "/levels/0/id"].sort().reverse());
});

test("what an opened document has otherwise than it would be saved is told by its place", () => {
  const cases = [[{ a: 1 }, { a: 1 }, []], [{ a: 1 }, { a: "1" }, ["/a"]], [{ a: null }, {}, ["/a"]],
    [{}, { a: 0 }, ["/a"]], [{ a: [] }, {}, []], [{ a: [1, { "b/c~": 2 }] }, { a: [1, {}] }, ["/a/1/b~1c~0"]],
    [{ a: {} }, { a: [] }, ["/a"]],
    [{ levels: [{ edges: [{ edge: 2 }, { edge: 0 }] }] }, { levels: [{ edges: [{ edge: 0 }, { edge: 2 }] }] }, []],
    [{ other: [{ edge: 2 }, { edge: 0 }] }, { other: [{ edge: 0 }, { edge: 2 }] }, ["/other/0/edge", "/other/1/edge"]]];
  for (const [opened, saved, told] of cases) assert.deepEqual(differing(opened, saved), told);
});

test("a tax is typed in per cent and goes out as a share, digit by digit", () => {
  const cases = [["7", "0.07"], ["8.875", "0.08875"], ["100", "1"], ["0", "0"], [".5", "0.005"], ["12.50", "0.125"]];
  for (const [percent, share] of cases) assert.equal(shareOf(percent), share, percent);
  for (const [percent, share] of [...cases.slice(0, 4), ["0.5", "0.005"], ["12.5", "0.1250"]]) {
    assert.equal(percentOf(share), percent, share);
  }
  assert.equal(shareOf(" 7 % "), "0.07");
  // Nobody takes a thousand per cent and more.
  for (const [percent, share] of [["7,25", "0.0725"], ["8,875 %", "0.08875"]]) assert.equal(shareOf(percent), share);
  for (const none of ["", "7,2,5", "7.2,5", "-7", "x", ".", ","]) assert.equal(shareOf(none), none); // To be refused as it is.
  assert.equal(percentOf("a tenth"), "a tenth");
});

test("each role is priced by what the contract's list of roles says", () => {
  const rows = readFileSync(process.env.SCHEMA.replace("deck.json", "reference.md"), "utf8")
    .matchAll(/^\| `(\w+)` \| [^|]+ \| (`(?:each|per_)[^|]+) \|/gm);
  const told = [...rows].map(([, role, by]) => [role, by.split("; from stock: ").map((each) => each.match(/\w+/g))]);
  assert.ok(told.length > 35);
  for (const [role, [plain, stock]] of told) {
    assert.deepEqual([...basesOf(role, {})].sort(), [...plain].sort(), role);
    if (stock) assert.deepEqual([...basesOf(role, { [role]: { stock: [96] } })].sort(), [...stock].sort(), role);
  }
});

const KIT = { id: "yard", unit: "in", post: { heights: [36, 42] }, handrail: { stock: [150] },
  rails: { picket: { top: { stock: [150, 198] }, bottom: { stock: [96] } } } };

test("sizes to be priced are the kit's, and how a part is priced is as it is sold", () => {
  assert.deepEqual(sizesOf("post_line", "per_height", KIT), ["36", "42"]);
  assert.deepEqual(sizesOf("top_rail_picket", "per_stick", KIT), ["150", "198"]);
  assert.deepEqual(sizesOf("top_rail_glass", "per_stick", KIT), []);
  assert.deepEqual(sizesOf("handrail", "per_stick", undefined), []);
  const usual = (role, quantity, packs) => usualBasis(role, KIT, [{ quantity, packs }]);
  assert.deepEqual([usual("post_cap", 9, 9), usual("base_fixing", 36, 2), usual("handrail", 1, 1)],
    ["each", "per_pack", "per_stick"]);
  assert.deepEqual([usual("glass_panel", 4, 4), usual("gasket", 90), usual("blocking", 3, 3)],
    ["per_area", "per_length", "per_length"]);
});

test("prices are listed with the answer's parts, and only those that were typed go out", () => {
  const form = example();
  form.kit = "yard";
  const part = (role, quantity = 1, packs = quantity) => ({ role, description: `${role}!`, quantity, packs });
  const list = (...parts) => listPrices(form, { parts }, [KIT]);
  assert.equal(list(part("post_line"), part("post_line"), part("base_fixing", 36, 2), part("top_rail_picket")), true);
  assert.equal(toDocument(form).document.prices, undefined);
  const { rows } = form.prices;
  assert.deepEqual(rows.map(({ role, words, by }) => [role, words, by]), [["post_line", "post_line!", "each"],
    ["base_fixing", "base_fixing!", "per_pack"], ["top_rail_picket", "top_rail_picket!", "per_stick"]]);
  rows[0].amount = " 58,5 ";
  assert.equal(toDocument(form).document.prices, undefined); // No currency, no prices.
  form.prices.currency = " usd";
  form.prices.tax = "7";
  rows[2].sizes[1].amount = "104,00";
  const { document, places } = toDocument(form);
  assert.deepEqual(document.prices, { currency: "USD", tax_rate: "0.07",
    parts: { post_line: { each: "58.5" }, top_rail_picket: { per_stick: { 198: "104.00" } } } });
  assert.equal(places["/prices/parts/top_rail_picket/per_stick/198"], "prices.rows.2.sizes.1.amount");
  assert.equal(places["/prices/parts/post_line/each"], "prices.rows.0.amount");
  assert.deepEqual([places["/prices/currency"], places["/prices/tax_rate"]], ["prices.currency", "prices.tax"]);
  rows[0].by = "per_height";
  fillSizes(rows[0], KIT);
  assert.deepEqual(rows[0].sizes.map(({ size }) => size), ["36", "42"]);
  rows[0].by = "each";
  // Of another deck what was typed stays, after its parts.
  assert.equal(list(part("handrail"), part("top_rail_picket")), true);
  assert.deepEqual(form.prices.rows.map(({ role }) => role), ["handrail", "top_rail_picket", "post_line"]);
  assert.equal(list(part("handrail"), part("top_rail_picket")), false);
  form.prices.currency = "";
  assert.equal(toDocument(form).document.prices, undefined);
});

test("prices of an opened document are rows beside what the kit has more, and come back as they were", () => {
  const parts = { top_rail_picket: { per_stick: { "12' 6\"": "82.00" }, cutting: "2.50" },
    glass_panel: { per_area: "31.00", least: "95.00" }, post_cap: { each: 4 }, spacer: { each: "1", per_pack: "9" } };
  const deck = { ...copy(EXAMPLE), kit: "yard", prices: { currency: "USD", tax_rate: "0.070", parts } };
  const form = fromDocument(copy(deck));
  listPrices(form, { parts: [{ role: "top_rail_picket" }] }, [KIT]);
  assert.deepEqual(toDocument(form).document, deck);
  assert.deepEqual(form.prices.rows[0].sizes, [{ size: "12' 6\"", amount: "82.00" }, { size: "198", amount: "" }]);
  assert.deepEqual(hidden(form), ["cutting", "more prices"]);
  assert.equal(form.prices.rows[1].least, "95.00");
  assert.equal(form.prices.tax, "7");
  form.prices.tax = "7.5";
  form.prices.rows[0].sizes[1].amount = "104";
  const { prices } = toDocument(form).document;
  assert.equal(prices.tax_rate, "0.075");
  assert.deepEqual(prices.parts.top_rail_picket,
    { per_stick: { "12' 6\"": "82.00", 198: "104" }, cutting: "2.50" });
});

test("what is wrong with a price is told as it is typed", () => {
  const told = (message) => placeErrors({ "/p": "prices.tax" }, { errors: [{ pointer: "/p", code: "not_as_written",
    message }] }, "in")[0].words;
  assert.equal(told("\"$4\" does not fit: send money as text, such as \"61.50\", with no sign, exponent or grouping."),
    "Type an amount with no sign before it, such as 61.50.");
  assert.equal(told("\"1,250\" does not fit: send money as text, such as \"61.50\", with no sign, exponent or grouping."),
    "Type an amount with no sign before it, such as 61.50. Thousands are typed with nothing between, decimals with a point.");
  assert.equal(told("\"x\" does not fit: send a share from 0 to 1 as text, such as \"0.07\"."),
    "Type a percentage from 0 to 100, such as 7 or 8.875.");
});

test("a kit that no document says is to be chosen, and thousands are typed with nothing between", () => {
  const told = (error, unit = "in") => placeErrors({ "/kit": "kit", "/w": "rectangle.width" }, { errors: [error] }, unit)[0];
  assert.deepEqual(told({ pointer: "/kit", code: "not_as_written",
    message: "\"\" does not fit: send an id, or a whole document inline." }), { field: "kit", pointer: "",
    words: "Choose one.", open: false });
  const none = { pointer: "/kit", code: "unknown_kit", message: "No kit nope is loaded here." };
  assert.equal(told(none).words, none.message);
  for (const typed of ["1,200 mm", "1 200 mm", "12,500"]) {
    assert.match(told({ pointer: "/w", code: "not_a_length", message: `"${typed}" does not fit: send ${LENGTH}.` }).words,
      / Thousands are typed with nothing between, decimals with a point\. /, typed);
  }
  assert.match(told({ pointer: "/w", code: "not_a_length", message: `"20,5" does not fit: send ${LENGTH}.` }).words,
    / Decimals take a point\. /);
});

test("what is wrong with a flight as a whole is told at its rise", () => {
  const form = example();
  addOpening(form.levels[0]);
  press(form, "flight", 0, null);
  const { places } = toDocument(form);
  assert.equal(fieldOf(places, "/stairs/0"), "openings.0.flight.rise");
  assert.equal(fieldOf(places, "/stairs/0/opening"), "openings.0.edge");
});

test("a changed field brings along what goes by it", () => {
  const form = example();
  const known = { kits: [KIT], reply: { parts: [{ role: "handrail", description: "Rail" }] } };
  const change = (name, value) => takeIn(form, name, value, known);
  addOpening(form.levels[0]);
  press(form, "flight", 0, null);
  change("drop", "50");
  assert.equal(read(form, "openings.0.flight.rise"), "50");
  change("openings.0.flight.rise", "40");
  change("drop", "60");
  assert.equal(read(form, "openings.0.flight.rise"), "40");
  change("edges.0.condition", "open");
  assert.equal(form.levels[0].edges[0].said, true);
  change("prices.currency", "USD");
  assert.deepEqual(form.prices.rows.map(({ words }) => words), ["Rail"]);
  change("pane", "1");
  assert.equal(read(form, "edges.3.glass"), "1");
  change("unit", "mm"); // 60 x 25.4
  assert.deepEqual([read(form, "drop"), read(form, "nothing.of.it")], ["1524", undefined]);
  addLevel(form);
  change("at", "0");
  assert.equal(form.at, 0);
});

test("a text is opened, or it is said why not", () => {
  assert.deepEqual(opened(" "), { form: null, words: "There is nothing to open." });
  assert.match(opened("{").words, /^This is no JSON: /);
  assert.deepEqual(opened("7"), { form: null, words: "This is no deck document: it is no JSON object." });
  const { form, words } = opened(JSON.stringify(EXAMPLE));
  assert.deepEqual([toDocument(form).document, words], [EXAMPLE, "Opened."]);
  assert.equal(opened(JSON.stringify({ ...EXAMPLE, advise: null })).words, "Opened.");
});

test("a document past the limits is not opened, and it is said what there is too much of", () => {
  const many = (n, entry = {}) => Array.from({ length: n }, () => entry);
  const named = (n) => Object.fromEntries(many(n).map((_, i) => [`n${i}`, {}]));
  const ofLevel = (more) => ({ ...EXAMPLE, levels: [{ ...EXAMPLE.levels[0], ...more }] });
  const corners = (outline) => ofLevel({ outline });
  const cases = [ // What a document is made of n entries by, the most of them, and what is said of one more.
    [(n) => corners({ points: many(n, [0, 0]) }), 128, "129 corners; at most 128"],
    [(n) => corners({ sides: many(n) }), 128, "129 corners; at most 128"],
    [(n) => corners({ ties: { baseline: 9, corners: many(n) } }), 126, "129 corners; at most 128"],
    [(n) => ({ ...EXAMPLE, levels: many(n, EXAMPLE.levels[0]) }), 16, "17 levels; at most 16"],
    [(n) => ofLevel({ openings: many(n) }), 64, "65 openings; at most 64"],
    [(n) => ofLevel({ obstructions: many(n) }), 64, "65 columns; at most 64"],
    [(n) => ofLevel({ no_post: many(n) }), 64, "65 no-post places; at most 64"],
    [(n) => ({ ...EXAMPLE, site_measures: many(n) }), 2500, "2501 measured bays; at most 2500"],
    [(n) => ({ ...EXAMPLE, stock_on_hand: many(n) }), 200, "201 rows of sticks on hand; at most 200"],
    [(n) => ({ ...EXAMPLE, amendments: named(n) }), 128, "129 local changes; at most 128"],
    [(n) => ({ ...EXAMPLE, prices: { parts: named(n) } }), 200, "201 priced parts; at most 200"],
  ];
  for (const [make, most, words] of cases) {
    assert.match(opened(JSON.stringify(make(most))).words, /^Opened\./, words);
    const over = opened(JSON.stringify(make(most + 1)));
    assert.deepEqual(over, { form: null, words: `This deck is not opened. There are ${words} are taken.` });
  }
  const second = { ...EXAMPLE, levels: [EXAMPLE.levels[0], corners({ points: many(600, [0, 0]) }).levels[0]] };
  assert.match(opened(JSON.stringify(second)).words, /There are 600 corners on level 2; at most 128 are taken\.$/);
});

test("prices of another deck are used in one of the same unit, or where none goes by it", () => {
  const prices = (price) => pricesOf({ unit: "in", prices: { currency: "USD", parts: { handrail: price } } });
  assert.deepEqual([isFor(prices({ per_length: "9" }), "in"), isFor(prices({ per_length: "9" }), "mm")], [true, false]);
  assert.equal(isFor(prices({ per_stick: { 150: "90" } }), "mm"), true);
  assert.equal(pricesOf({ unit: "in" }), null);
  const form = example();
  const former = prices({ each: "4" });
  press(form, "former-prices", NaN, null, { kits: [], former });
  assert.deepEqual(toDocument(form).document.prices, former.prices);
});

test("a flight has an infill of its own, which goes out as it was said", () => {
  const form = example();
  addOpening(form.levels[0]);
  press(form, "flight", 0, null);
  form.levels[0].openings[0].flight.infill = "glass";
  const { document, places } = toDocument(form);
  assert.equal(document.stairs[0].infill, "glass");
  assert.equal(places["/stairs/0/infill"], "openings.0.flight.infill");
  const again = fromDocument(copy(document));
  assert.deepEqual([again.levels[0].openings[0].flight.infill, hidden(again)], ["glass", []]);
});

test("a flight has a pane of its own where it has glass and there is a choice, else its edge's", () => {
  const pane = (nominal) => ({ nominal, type: "tempered" });
  const kits = [{ id: "two", unit: "in", glass: { panes: [pane(0.25), pane(0.375)] } },
    { id: "one", unit: "in", glass: { panes: [pane(0.5)] } }, { id: "none", unit: "in" }];
  const form = { ...example(), kit: "two" };
  addOpening(form.levels[0]);
  press(form, "flight", 0, null);
  const [{ openings: [one], edges }] = form.levels;
  const { flight } = one;
  const asked = () => flightPanes(form, one, kits);
  const both = [["0", "1/4\", tempered"], ["1", "3/8\", tempered"]];
  assert.deepEqual(asked(), []);
  flight.infill = "glass";
  assert.deepEqual(asked(), [["", "As its edge, 1/4\", tempered"], ...both]); // An edge that says none has the first.
  edges[0].glass = "1";
  assert.deepEqual(asked()[0], ["", "As its edge, 3/8\", tempered"]);
  one.edge = "9"; // Which is not there.
  assert.deepEqual(asked()[0], ["", "As its edge"]);
  one.edge = "0";
  Object.assign(flight, { infill: "picket" });
  form.infill = "glass";
  assert.deepEqual(asked(), []);
  flight.infill = "";
  assert.equal(asked().length, 3); // As the railing, which is glass.
  for (const kit of ["one", "none", "lost"]) assert.deepEqual(flightPanes({ ...form, kit }, one, kits), [], kit);
  flight.glass = "5"; // Said of it already, whatever the kit has.
  assert.deepEqual(flightPanes({ ...form, kit: "none" }, one, kits), [["", "As its edge"], ["5", "5"]]);
  flight.glass = "0";
  const { document, places } = toDocument(form);
  assert.deepEqual([document.stairs[0].glass, places["/stairs/0/glass"]], [0, "openings.0.flight.glass"]);
  const again = fromDocument(copy(document));
  assert.deepEqual([again.levels[0].openings[0].flight.glass, hidden(again)], ["0", []]);
  switchUnit(again, "mm");
  assert.equal(toDocument(again).document.stairs[0].glass, 0); // Which is no length.
});

test("the site goes out as it was said, and comes back as it was", () => {
  const form = example();
  const site = () => toDocument(form).document.site;
  assert.equal(site(), undefined);
  Object.assign(form.site, { temperature_range: "120", wet_service: "false", load_duration: "ten_minutes" });
  assert.deepEqual(site(), { temperature_range: 120, wet_service: false, load_duration: "ten_minutes" });
  Object.assign(form.site, { species: "hem_fir", specific_gravity: "0,43", grade: "C24" });
  const { document, places } = toDocument(form);
  assert.deepEqual(document.site.timber, { species: "hem_fir", specific_gravity: 0.43, grade: "C24" });
  assert.equal(places["/site/temperature_range"], "site.temperature_range");
  assert.equal(places["/site/timber/grade"], "site.grade");
  switchUnit(form, "mm");
  assert.equal(form.site.temperature_range, "66.667"); // 120 x 5/9
  assert.equal(form.site.specific_gravity, "0,43"); // Without a unit.
  switchUnit(form, "in");
  assert.equal(form.site.temperature_range, "120"); // 66.667 x 9/5 = 120.0006
  for (const [typed, unit, sent] of [["90 °F", "in", 90], ["90f", "in", 90], ["50 °C", "mm", 50], ["50 K", "mm", 50],
    ["50 °C", "in", "50 °C"], ["90 °F", "mm", "90 °F"], ["°F", "in", "°F"], ["hot", "in", "hot"]]) {
    assert.equal(toDocument({ ...form, unit, site: { ...form.site, temperature_range: typed } }).document.site.temperature_range, sent);
  }
  const warm = { ...form, site: { ...form.site, temperature_range: "90 °F" } };
  switchUnit(warm, "mm");
  assert.equal(warm.site.temperature_range, "50"); // 90 x 5/9
  // A timber of its own takes the place of the kit's: of one that is emptied there is none.
  Object.assign(form.site, { species: "", specific_gravity: "", grade: "" });
  assert.equal("timber" in site(), false);
  for (const held of [{}, { wet_service: true, load_duration: "live" }, { wet_service: "yes" }, { timber: {} },
    { timber: { species: "oak", note: 1 }, note: 2 }, { timber: 7 }, { timber: { grade: null } }, { temperature_range: "90" }, 7, null]) {
    const told = { ...copy(EXAMPLE), site: held };
    assert.deepEqual(toDocument(fromDocument(copy(told))).document, told);
  }
  const odd = fromDocument({ ...copy(EXAMPLE), site: { timber: { species: "oak", note: 1 }, more: 2 } });
  assert.deepEqual(hidden(odd), ["more", "note"]);
  odd.site.species = "";
  assert.deepEqual(toDocument(odd).document.site, { more: 2, timber: { note: 1 } });
});

test("of the site is asked what the kit's fixings and the code go by, and what is said", () => {
  const kit = (id, kind) => ({ id, strength: { fixing: { kind } } });
  const method = (id, value) => ({ id, figures: { strength_method: { value } } });
  const known = { kits: [kit("bolts", "through_bolt"), kit("lags", "lag_screw"), kit("screws", "wood_screw"), { id: "bare" }],
    codes: [method("us", "allowable stress"), method("gb", "partial factors"), { id: "none", figures: {} }] };
  const asked = (more) => Object.entries(asksSite({ ...example(), ...more }, known)).filter(([, on]) => on).map(([name]) => name);
  assert.deepEqual(asked({ kit: "lags", code: "us" }), ["wet_service", "load_duration", "species", "specific_gravity"]);
  assert.deepEqual(asked({ kit: "screws", code: "gb" }), ["wet_service", "load_duration", "grade"]);
  assert.deepEqual(asked({ kit: "screws", code: "none" }), ["wet_service", "load_duration"]);
  for (const of of ["bolts", "bare", "lost"]) assert.deepEqual(asked({ kit: of, code: "us" }), [], of);
  const said = fromDocument({ ...copy(EXAMPLE), site: { wet_service: true, timber: { grade: "C24" } } });
  assert.deepEqual(asked({ kit: "bolts", site: said.site }), ["wet_service", "grade"]);
});

test("a column is told by the edge that it is square to, before one that is nearer and askew to it", () => {
  // The triangle of 40, 30 and 50: 5 by 5, square to the slope and 2 in from it, its lowest corner at (32.2, 15.4).
  // Of the same at (33, 1) and up the lower edge is nearer: 0.6 x 5 and 0.8 x 5 out of the slope's own ways.
  const square = [[33, 1], [37, 4], [34, 8], [30, 5]];
  const deck = { ...copy(EXAMPLE), levels: [{ id: "main", outline: { points: [[0, 0], [40, 1e-14], [40, 30]] },
    obstructions: [{ name: "roof", points: square }] }] };
  const form = fromDocument(copy(deck));
  const [row] = form.levels[0].columns;
  assert.deepEqual([row.edge, row.shape, row.width, row.depth], ["2", "", "5", "5"]);
  assert.deepEqual(toDocument(form).document, deck);
  form.levels[0].columns[0].width = "6"; // With what is left of a corner's working out, 1e-14, it is still worked out.
  assert.equal(toDocument(form).document.levels[0].obstructions[0].points.flat().every(Number.isFinite), true);
});

test("the other infill, another height and kit are compared with, after what the form does not show", () => {
  const form = example();
  const kits = [{ id: "fascia", title: "Square post hung on the rim, picket or framed glass, inch" }];
  const change = (name, value) => takeIn(form, name, value, { kits, reply: null });
  assert.equal("compare" in toDocument(form).document, false);
  change("compared.infill", true);
  const glass = { label: "All in glass", guard: { infill: "glass" }, edges: "all" };
  assert.deepEqual(toDocument(form).document.compare, [glass]);
  assert.equal(toDocument(form).places["/compare/0"], "compared.infill");
  change("infill", "glass");
  const pickets = { label: "All in pickets", guard: { infill: "picket" }, edges: "all" };
  change("compared.height", "42");
  change("compared.kit", "fascia");
  const high = { label: "Guards 3' 6\" high", guard: { height: 42 }, edges: "all" };
  const fascia = { label: "Square post hung on the rim", kit: "fascia" };
  assert.deepEqual(toDocument(form).document.compare, [pickets, high, fascia]);
  assert.equal(fieldOf(toDocument(form).places, "/compare/1/guard/height"), "compared.height");
  switchUnit(form, "mm"); // 42 x 25.4 = 1066.8
  assert.deepEqual(toDocument(form).document.compare[1],
    { label: "Guards 1066.8 mm high", guard: { height: 1066.8 }, edges: "all" });
  change("infill", "picket");
  change("compared.infill", false);
  change("compared.height", " ");
  assert.deepEqual(toDocument(form).document.compare, [fascia]);
  change("compared.kit", "");
  assert.equal("compare" in toDocument(form).document, false);
});

test("what an opened document compares is the form's where the form could have asked for it", () => {
  const glass = { label: "All in glass", guard: { infill: "glass" }, edges: "all" };
  const pickets = { label: "All in pickets", guard: { infill: "picket" }, edges: "all" };
  const high = { label: "high", guard: { height: 42 } };
  const own = { label: "Guards 3'6\" high", guard: { height: "3'6\"" }, edges: "all" };
  const fascia = { label: "hung", kit: "fascia" };
  const opening = (compare) => fromDocument({ ...copy(EXAMPLE), compare });
  const held = (compare) => {
    const form = opening(compare);
    const { infill, height, kit, called } = form.compared;
    assert.deepEqual(toDocument(form).document.compare, compare);
    return [infill, height, kit && called, hidden(form)];
  };
  assert.deepEqual(held([high, glass]), [true, "", "", ["compare"]]);
  assert.deepEqual(held([glass]), [true, "", "", []]);
  assert.deepEqual(held([high, glass, own, fascia]), [true, "3'6\"", "hung", ["compare"]]);
  // What the deck has already is none of the form's, nor is one that is called otherwise or stands elsewhere.
  for (const compare of [[pickets], [{ ...glass, label: "glass" }], [glass, high], [fascia, { ...fascia, edges: "all" }]]) {
    assert.deepEqual(held(compare), [false, "", "", ["compare"]]);
  }
  for (const odd of [[], [null], [7], [{ label: 1, kit: "x" }], [{ label: "x", kit: {} }], [{ guard: null }]]) held(odd);
  const without = (form, change) => toDocument({ ...form, compared: { ...form.compared, ...change } }).document.compare;
  assert.deepEqual(without(opening([high, glass]), { infill: false }), [high]);
  assert.equal(without(opening([glass]), { infill: false }), undefined);
  assert.deepEqual(without(opening([high]), { infill: true }), [high, glass]);
  const none = fromDocument({ ...copy(EXAMPLE), guard: { infill: "mesh" }, compare: [glass] });
  assert.deepEqual(without(none, { infill: true }), [glass]);
});

test("sticks are planned longer where that is ticked, and what else a document says of it stays", () => {
  const effort = (said, thorough) => {
    const form = fromDocument({ ...copy(EXAMPLE), ...(said === undefined ? {} : { plan_effort: said }) });
    return toDocument(thorough === undefined ? form : { ...form, thorough }).document.plan_effort;
  };
  assert.deepEqual([effort(), effort(undefined, true), effort("thorough", false)], [undefined, "thorough", undefined]);
  assert.deepEqual(["ordinary", "thorough", 5].map((said) => effort(said)), ["ordinary", "thorough", 5]);
  assert.deepEqual(["ordinary", 5].map((said) => effort(said, true)), ["thorough", "thorough"]);
});

test("a least charge goes with a price by measure, and with no other", () => {
  const form = example();
  const change = (name, value) => takeIn(form, name, value, { kits: [], reply: null });
  form.prices.currency = "USD";
  listPrices(form, { parts: [{ role: "glass_panel", quantity: 4 }] }, []);
  change("prices.rows.0.amount", "31.00");
  change("prices.rows.0.least", " 95.00");
  const told = () => toDocument(form).document.prices.parts.glass_panel;
  assert.deepEqual(told(), { per_area: "31.00", least: "95.00" });
  assert.equal(fieldOf(toDocument(form).places, "/prices/parts/glass_panel/least"), "prices.rows.0.least");
  change("prices.rows.0.by", "each");
  assert.deepEqual(told(), { each: "31.00" });
  const opening = (price) => fromDocument({ ...copy(EXAMPLE), prices: { currency: "USD", parts: { gasket: price } } });
  const kept = { per_length: "3.10", least: "20.00", waste: "0.1" };
  assert.deepEqual(opening(kept).prices.rows[0].least, "20.00");
  assert.deepEqual(hidden(opening(kept)), ["waste"]);
  for (const price of [kept, { each: "1", least: "2" }, { per_length: "1", least: 2 }, { per_length: "1", least: "" }]) {
    assert.deepEqual(toDocument(opening(price)).document.prices.parts.gasket, price);
  }
});

test("a new edge has the pane that all edges have", () => {
  const form = example();
  const change = (name, value) => takeIn(form, name, value, { kits: [], reply: null });
  const panes = () => form.levels[form.at].edges.map(({ glass }) => glass);
  change("infill", "glass");
  change("pane", "1");
  change("way", "sides");
  press(form, "insert-row", 1);
  press(form, "add-row");
  assert.deepEqual(panes(), ["1", "1", "1", "1", "1", "1"]);
  change("infill", "picket"); // Which waits while there is no glass.
  press(form, "add-level");
  assert.deepEqual(panes(), ["1", "1", "1", "1"]);
  change("infill", "glass");
  change("edges.0.glass", "2"); // Nothing is common to all.
  change("way", "sides");
  press(form, "add-row");
  assert.deepEqual(panes(), ["2", "1", "1", "1", ""]);
});

test("of other ways a sum stands beside the deck's own, with what is missing in it said", () => {
  assert.deepEqual(otherWays([
    { label: "All in glass", total: "3806.40", currency: "USD" },
    { label: "high", total: "90.00", currency: "USD", unpriced: ["picket"] },
    { label: "nothing priced", total: "0.00", currency: "USD", unpriced: ["picket"] },
    { label: "no prices" },
  ]), [["All in glass", "3806.40 USD"], ["high", "90.00 USD so far"]]);
  assert.deepEqual(otherWays(), []);
});

test("sticks on hand are rows, and what a row cannot hold stays in its place", () => {
  const form = example();
  addSticks(form);
  assert.deepEqual(toDocument(form).document.stock_on_hand, [{ part: "top_rail_picket", count: 1 }]);
  Object.assign(form.on_hand[0], { length: "8' 4", count: "2" });
  const { document, places } = toDocument(form);
  assert.deepEqual(document.stock_on_hand, [{ part: "top_rail_picket", length: "8' 4\"", count: 2 }]);
  assert.equal(places["/stock_on_hand/0/length"], "on_hand.0.length");
  const odd = { part: "picket", length: 40, count: "3" };
  const own = [{ part: "handrail", length: "7'", count: 1, note: "x" }, odd, { part: "picket", length: 80, count: 12 }];
  const again = fromDocument({ ...copy(EXAMPLE), stock_on_hand: own });
  assert.deepEqual(copy(toDocument(again).document.stock_on_hand), own);
  assert.deepEqual(hidden(again), ["note", "more stock_on_hand"]);
  // Taken out, and by another tape: 80 in are 2032 mm, 7' names its own unit.
  assert.equal(losing(again, "remove-sticks", 1), "Sticks 2 were taken out.");
  again.kept.on_hand = [];
  switchUnit(again, "mm");
  assert.deepEqual(again.on_hand.map(({ length }) => length), ["7'", "2032"]);
  press(again, "remove-sticks", 0);
  assert.deepEqual(toDocument(again).document.stock_on_hand, [{ part: "picket", length: 2032, count: 12 }]);
  press(again, "remove-sticks", 0);
  assert.equal("stock_on_hand" in toDocument(again).document, false);
  // Of glass it is the glass rail.
  form.infill = "glass";
  assert.equal(press(form, "add-sticks").begun, "on_hand.1.");
  assert.equal(form.on_hand[1].part, "top_rail_glass");
});

test("what is kept unseen is named in words, where there are such", () => {
  assert.equal(keptWords(["compare", "more no_post", "note", "toString"]),
    "other ways to compare, more no-post places, note, toString");
});

test("what was not checked for one reason at the same places is told together", () => {
  const one = (message, where, more) => ({ message, where, source: "code", ...more });
  const code = "; name a code to have it checked.";
  const [height, band, edge] = [one(`B1: the height was not checked${code}`, ["B1"]),
    one(`B1: the gap under the rail, as set, was not checked${code}`, ["B1"]),
    one(`m/edge 0: whether a guard is required was not checked${code}`, ["m/edge 0"])];
  const posts = one("k: the strength of the posts was not checked: give it.", ["k"]);
  const base = one("k: the strength of the base was not checked: give it.", ["k"]);
  const other = one("k: the strength of the glass was not checked: give its plies.", ["k"]);
  const timber = one("m: what the posts are fixed into is not known: see.", ["m"]);
  const told = together([edge, height, posts, timber, band, other, base, timber]);
  assert.deepEqual(told.map(({ message }) => message), [
    edge.message,
    "B1: the height and the gap under the rail, as set, were not checked; name a code to have them checked.",
    "k: the strength of the posts and the strength of the base were not checked: give it.",
    timber.message, other.message, timber.message]);
  assert.deepEqual(told[1].where, ["B1"]);
  // By other clauses they are others.
  assert.equal(together([{ ...posts, cite: "a" }, { ...base, cite: "b" }]).length, 2);
  assert.deepEqual(together([]), []);
});

test("a deck is cut to the usual mark of its tape, or to one that is chosen", () => {
  assert.deepEqual(marks("in", "").map(([value, words]) => `${value} ${words}`), [" 1/16\", as usual", "0.015625 1/64\"",
    "0.03125 1/32\"", "0.125 1/8\"", "0.25 1/4\"", "0.5 1/2\"", "1 1\""]);
  assert.deepEqual(marks("mm", "1").map(([value, words]) => `${value} ${words}`),
    ["1 1 mm, as usual", "0.5 0.5 mm", "2 2 mm", "5 5 mm", "10 10 mm"]);
  assert.deepEqual(marks("mm", "3").at(-1), ["3", "3"]);
  const form = example();
  takeIn(form, "precision", "0.125", { kits: [], reply: null });
  const { document, places } = toDocument(form);
  assert.deepEqual([document.precision, places["/precision"], bound(form)], [0.125, "precision", ["precision"]]);
  takeIn(form, "precision", "", { kits: [], reply: null });
  assert.deepEqual(["precision" in toDocument(form).document, bound(form)], [false, []]);
});

test("who looks at two tapes and comes back finds the edges as they were said", () => {
  const form = example();
  const [level] = form.levels;
  const conditions = () => level.edges.map(({ condition }) => condition);
  takeIn(form, "edges.3.condition", "wall", { kits: [], reply: null });
  level.edges[0].height = "42";
  switchWay(level, "ties", "in");
  assert.deepEqual([conditions(), level.askHouse], [["guard", "guard", "guard", "wall"], true]);
  takeIn(form, "edges.1.condition", "open", { kits: [], reply: null });
  switchWay(level, "rectangle", "in");
  assert.deepEqual([conditions(), level.askHouse, level.edges[0].height], [["guard", "guard", "wall", "wall"], false, "42"]);
  level.edges[0].height = "40";
  switchWay(level, "ties", "in");
  assert.deepEqual([conditions(), level.edges[0].height], [["guard", "open", "guard", "wall"], ""]);
  // By another tape meanwhile: 40 in are 1016 mm.
  switchUnit(form, "mm");
  switchWay(level, "rectangle", "mm");
  assert.equal(level.edges[0].height, "1016");
  switchUnit(form, "in");
  switchWay(level, "ties", "in");
  // Edges that are others now are asked about as ever.
  addRow(level);
  switchWay(level, "sides", "in");
  assert.deepEqual(conditions(), ["guard", "guard", "wall", "wall"]);
  addRow(level);
  switchWay(level, "ties", "in");
  assert.equal(level.edges.length, 5);
});

test("which pane all edges have holds also of those that are put by", () => {
  const form = example();
  const change = (name, value) => takeIn(form, name, value, { kits: [], reply: null });
  const panes = () => form.levels[0].edges.map(({ glass }) => glass);
  change("infill", "glass");
  change("way", "ties");
  change("pane", "1");
  change("way", "rectangle");
  assert.deepEqual(panes(), ["1", "1", "1", "1"]);
  assert.deepEqual(toDocument(form).document.levels[0].edges.map(({ glass }) => glass), [1, 1, 1, 1]);
  // Of another kit, chosen anew meanwhile: what was put by is not the old kit's.
  change("way", "ties");
  change("kit", "another");
  change("pane", "");
  change("way", "rectangle");
  assert.deepEqual(panes(), ["", "", "", ""]);
});

test("edges of another way have the pane that all edges had", () => {
  const form = example();
  const change = (name, value) => takeIn(form, name, value, { kits: [], reply: null });
  const panes = () => form.levels[0].edges.map(({ glass }) => glass);
  change("infill", "glass");
  change("pane", "1");
  change("way", "ties");
  assert.deepEqual(panes(), ["1", "1", "1", "1"]);
  change("edges.1.glass", "");
  change("way", "rectangle"); // What is said edge by edge is of those edges alone.
  assert.deepEqual(panes(), ["1", "1", "1", "1"]);
  change("way", "ties");
  assert.deepEqual(panes(), ["1", "", "1", "1"]);
});

test("a part of another way stays in its row as it gets its price", () => {
  const form = example();
  form.prices.currency = "USD";
  const list = (...unpriced) => {
    listPrices(form, { parts: [{ role: "post_cap" }], comparison: [{ label: "All in glass", unpriced }] }, [KIT]);
    return form.prices.rows.map(({ role }) => role);
  };
  assert.deepEqual(list("post_cap", "glass_panel", "setting_block"), ["post_cap", "glass_panel", "setting_block"]);
  form.prices.rows[1].amount = "6";
  assert.deepEqual(list("post_cap", "setting_block"), ["post_cap", "glass_panel", "setting_block"]);
  assert.equal(form.prices.rows[1].amount, "6");
  // New ones come last, and what has neither a price nor a part goes.
  assert.deepEqual(list("gasket", "post_cap"), ["post_cap", "glass_panel", "gasket"]);
});

test("what is no flight, level or opening breaks no sentence", () => {
  const level = { id: "main" };
  const decks = [[null], [5], {}, null].flatMap((odd) => [{ levels: [level], stairs: odd },
    { levels: [{ ...level, openings: odd }] }]);
  for (const deck of [...decks, { levels: [null, level] }, { levels: [level, 5] }]) {
    assert.equal(wheres(deck).finding("main/edge 0: guarded."), "Edge 0: guarded.", JSON.stringify(deck));
  }
  const { document } = toDocument(fromDocument({ ...copy(EXAMPLE), stairs: [null] }));
  assert.deepEqual(document.stairs, [null]);
  assert.equal(wheres(document).inside("null does not fit: send an object."), "null does not fit: send an object.");
});

test("what an opened document compares and is no list is left as it is, and nothing is put beside it", () => {
  for (const compare of [{}, "x", 5, true, null]) {
    const form = fromDocument({ ...copy(EXAMPLE), compare });
    assert.equal(otherInfill(form), null);
    form.compared = { infill: true, height: "42", kit: "x", called: "x" }; // As it was before.
    assert.deepEqual(toDocument(form).document.compare, compare);
  }
  assert.equal(otherInfill(example()), "glass");
});

test("why another way cannot be built is told by the places of the form", () => {
  const { inside } = wheres({ levels: [{ id: "main" }] });
  const told = (row, quote) => lacks(row, { unit: "in", quote }, (role) => role.toUpperCase(), inside);
  const problem = { pointer: "/levels/0", code: "no_spacing", message: "No run along edge 0 of level main keeps 30 in." };
  assert.equal(told({ label: "high", problem }), "high: cannot be built. No run along edge 0 keeps 2' 6\".");
  assert.equal(told({ label: "All in glass", unpriced: ["gasket", "base"] }),
    "All in glass: no price was given for GASKET, BASE.");
  assert.equal(told({ label: "high" }), null);
  // What the deck itself has no price for is told with its quote.
  const quote = { unpriced: ["base", "post"] };
  assert.equal(told({ label: "All in glass", unpriced: ["gasket", "base"] }, quote), "All in glass: no price was given for GASKET.");
  assert.equal(told({ label: "high", unpriced: ["base"] }, quote), null);
});

test("only a refusal that lists its errors as the service does is heard", async () => {
  const heard = (told) => problemOf({ status: 422, json: async () => told });
  const own = { title: "Nothing can be built", errors: [{ pointer: "", code: "none", message: "No." }] };
  assert.deepEqual(await heard(own), own);
  const none = { title: "The service answered 422.", errors: [], unheard: true };
  const odd = [{ body: ["x"] }, "x", [], [null], ["x"], [{ message: "No." }], [{ pointer: "", detail: "No." }], undefined];
  for (const errors of odd) assert.deepEqual(await heard({ title: "Bad Request", errors }), none);
  for (const told of [null, 5, [], { errors: own.errors }]) assert.deepEqual(await heard(told), none);
  assert.deepEqual(await problemOf({ status: 422, json: () => JSON.parse("<p>") }), none);
});
