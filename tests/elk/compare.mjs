// Lays the graphs of the corpus out with elkjs (layered, fixed port order, orthogonal) and prints both side by side.
//
// First: cargo test --test drawing_report -- --ignored
// Then:  node tests/elk/compare.mjs            prints the table
//        node tests/elk/compare.mjs --write    also writes it to tests/elk/table.txt
//
// Both lay out the same boxes with the same terminals and wires. elkjs gets no wire labels to make room for. Crossings
// are counted alike: places where stretches of wires that are not joined cross; bends are corners of all wires over
// their number.
import { readFileSync, writeFileSync } from "node:fs";
import { fileURLToPath } from "node:url";
import ELK from "elkjs/lib/elk.bundled.js";

const here = (path) => fileURLToPath(new URL(path, import.meta.url));
const corpus = JSON.parse(readFileSync(here("../out/corpus.json"), "utf8"));

const LAYOUT = {
    "elk.algorithm": "layered",
    "elk.direction": "RIGHT",
    "elk.edgeRouting": "ORTHOGONAL",
    "elk.layered.thoroughness": "30",
    "elk.spacing.nodeNode": "14",
    "elk.spacing.edgeEdge": "14",
    "elk.spacing.edgeNode": "14",
    "elk.layered.spacing.edgeEdgeBetweenLayers": "14",
    "elk.layered.spacing.edgeNodeBetweenLayers": "10",
    "elk.layered.spacing.nodeNodeBetweenLayers": "20",
    "elk.randomSeed": "1",
};

/** A splice takes its wires on two terminals, one for each side, so that trunks can be shared. */
function graph(plan) {
    const joints = new Set();
    const children = plan.nodes.map((node) => {
        const joint = node.ports.some((port) => port.side === "ANY");
        if (joint) joints.add(node.ports[0].id);
        const ports = joint
            ? [port(`${node.ports[0].id}/in`, "WEST", 0), port(`${node.ports[0].id}/out`, "EAST", 0)]
            : clockwise(node.ports).map((p, i) => port(p.id, p.side, i));
        return {
            id: node.id,
            width: node.width,
            height: node.height,
            layoutOptions: { "elk.portConstraints": "FIXED_ORDER" },
            ports,
        };
    });
    const edges = plan.wires.map((wire) => ({
        id: wire.id,
        sources: [joints.has(wire.from) ? `${wire.from}/out` : wire.from],
        targets: [joints.has(wire.to) ? `${wire.to}/in` : wire.to],
    }));
    return { id: "root", layoutOptions: LAYOUT, children, edges };
}

const port = (id, side, index) => ({
    id,
    width: 0,
    height: 0,
    layoutOptions: { "elk.port.side": side, "elk.port.index": String(index) },
});

/** The library counts ports clockwise: down the right side, up the left. */
function clockwise(ports) {
    const east = ports.filter((p) => p.side === "EAST").sort((a, b) => a.y - b.y);
    const west = ports.filter((p) => p.side === "WEST").sort((a, b) => b.y - a.y);
    return [...east, ...west];
}

/** Wires with one number are joined, as in the drawing. */
function nets(wires) {
    const parent = new Map();
    const find = (key) => {
        while (parent.get(key) !== key) key = parent.get(key);
        return key;
    };
    for (const wire of wires) {
        for (const key of [wire.id, ...wire.nets.map((n) => `@${n}`)]) {
            if (!parent.has(key)) parent.set(key, key);
        }
        for (const net of wire.nets) parent.set(find(`@${net}`), find(wire.id));
    }
    return new Map(wires.map((wire) => [wire.id, find(wire.id)]));
}

function measured(laid, plan) {
    const net = nets(plan.wires);
    const stretches = [];
    let bends = 0;
    let longest = 0;
    for (const edge of laid.edges) {
        let length = 0;
        for (const section of edge.sections ?? []) {
            const points = [section.startPoint, ...(section.bendPoints ?? []), section.endPoint];
            bends += section.bendPoints?.length ?? 0;
            for (let i = 1; i < points.length; i++) {
                const [a, b] = [points[i - 1], points[i]];
                length += Math.abs(a.x - b.x) + Math.abs(a.y - b.y);
                stretches.push({ net: net.get(edge.id), a, b });
            }
        }
        longest = Math.max(longest, length);
    }
    const level = (s) => Math.abs(s.a.y - s.b.y) < 0.01;
    const inside = (v, p, q) => Math.min(p, q) + 0.01 < v && v < Math.max(p, q) - 0.01;
    const places = new Set();
    for (const flat of stretches.filter(level)) {
        for (const tall of stretches.filter((s) => !level(s))) {
            const [x, y] = [tall.a.x, flat.a.y];
            if (flat.net !== tall.net && inside(x, flat.a.x, flat.b.x) && inside(y, tall.a.y, tall.b.y)) {
                places.add(`${Math.round(x)},${Math.round(y)}`);
            }
        }
    }
    return {
        crossings: places.size,
        bends: bends / Math.max(plan.wires.length, 1),
        area: laid.width * laid.height,
        longest,
    };
}

const elk = new ELK();
const lines = [];
const say = (text) => lines.push(text.trimEnd());
const cells = (cell) => (n, width, digits = 0) => cell(n.toFixed(digits), width);
const number = cells((text, width) => text.padStart(width));
say("Ours against elkjs 0.12.1: layered, fixed port order, orthogonal; crossings, bends per wire, area in 1000 square");
say("units, longest wire.");
say("");
say(`${"plan".padEnd(34)} parts | crossings    | bends       | area          | longest`);
say(`${"".padEnd(34)}       |  ours   elk  |  ours   elk |  ours    elk  |  ours   elk`);
const total = { ours: [0, 0, 0, 0], elk: [0, 0, 0, 0] };
const over = [];
for (const plan of corpus) {
    const theirs = measured(await elk.layout(graph(plan)), plan);
    const ours = plan.ours;
    for (const [who, f] of [["ours", ours], ["elk", theirs]]) {
        [f.crossings, f.bends, f.area / 1000, f.longest].forEach((v, i) => (total[who][i] += v));
    }
    const worse = ours.crossings > 1.1 * theirs.crossings;
    if (worse) over.push(plan.name);
    say(
        `${plan.name.padEnd(34)} ${number(plan.parts, 5)} | ${number(ours.crossings, 5)} ${number(theirs.crossings, 5)}${worse ? " *" : "  "}` +
            `| ${number(ours.bends, 5, 2)} ${number(theirs.bends, 5, 2)} | ${number(ours.area / 1000, 5)}  ${number(theirs.area / 1000, 5)}  ` +
            `| ${number(ours.longest, 5)} ${number(theirs.longest, 5)}`,
    );
}
const mean = (sum) => sum / corpus.length;
say("");
say(`crossings in total: ${total.ours[0]} against ${total.elk[0]}, ${(total.ours[0] / total.elk[0]).toFixed(2)} times`);
say(`bends per wire, mean: ${mean(total.ours[1]).toFixed(2)} against ${mean(total.elk[1]).toFixed(2)}`);
say(`area: ${(total.ours[2] / total.elk[2]).toFixed(2)} times; longest wire: ${(total.ours[3] / total.elk[3]).toFixed(2)} times`);
say(`more than 1.1 times the crossings (*): ${over.length} of ${corpus.length} plans`);
console.log(lines.join("\n"));
if (process.argv.includes("--write")) writeFileSync(here("table.txt"), `${lines.join("\n")}\n`);
