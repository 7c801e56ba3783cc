// From the data of a fold slider to paper in space: panels hung on each other by their folds, bent sheets, ribbons.
// What the numbers mean stands in generator/drawing/folded/slider_data.py. Lengths in mm, z upward.

const LAYER = 0.12; // mm between two panels that lie on each other
const GAP = 0.22; // of the widest piece: between those that stand side by side
const LIFT = 0.6; // of a lid's height: between it and its base
const PARTS = 4; // of a curve between two of its points
const STRAIGHT = 0.64; // cosine; a line that turns by more has a corner
const LANDING = 0.1; // of a step, in which panels get to their layers
const FOLDED = 0.02; // radians; a fold by less is a line on flat paper
const THERE = 0.001; // of a step; so near its end what it does last is done
const EXTRA = 32768; // numbers of parts from which on they are glued on or put round
export const FOLD = 0, EDGE = 1, HOLE = 2, MARK = 3;

// -- reading ----------------------------------------------------------------

// The data with its numbers in mm and radians, and whatever holds for all places worked out once.
export function unpacked(data) {
  const bodies = data.bodies.map((body) => ({
    ...body,
    panels: body.panels.map((panel) => panel && [panel[0].map((n) => n / data.fine), panel[1]]),
    arms: body.arms.map(([panel, parent, hinge, x, y, ax, ay]) => [panel, parent, hinge, x / data.fine, y / data.fine, ax, ay]),
    lines: body.lines.map((line) => ({ kind: line[0], one: line[1], other: line[2], hinge: line[3], xy: line.slice(4).map((n) => n / data.fine) })),
    angles: body.angles.map(([place, ...rest]) => [place, rest.map((n) => n / data.turn)]),
    laces: body.laces.map(([place, flat, bent]) => [place, flat.map((row) => row.map((n, k) => (k && k % 3 !== 1 ? n / data.fine : n))), bent]),
    extras: body.extras.map(([from, up, panel, side, xy, triangles, lines]) => ({ from, up, panel, side, triangles, xy: xy.map((n) => n / data.fine), lines: lines.map((line) => line.map((n) => n / data.fine)) })),
    skin: body.skin && unpackedSkin(body.skin, data.coarse),
  }));
  return { ...data, bodies };
}

function unpackedSkin(skin, coarse) {
  const count = skin.flat.length / 2;
  const now = new Float64Array(3 * count);
  const keys = skin.points.map((moved) => {
    for (let i = 0; i < now.length; i++) now[i] += moved[i] / coarse;
    return Float64Array.from(now); // all x, then all y, then all z
  });
  const mesh = sewn(skin, count, coarse);
  return { ...skin, count, keys, ...mesh, lines: skinLines(skin, mesh) };
}

// The seats sewn together: a vertex for each point of the whole sheet in each of its smooth parts.
function sewn(skin, count, coarse) {
  const points = new Map(), corners = new Map(), vertices = [], triangles = [], patches = [], own = new Map();
  const many = skin.triangles.length / 3;
  const welded = skin.plan.map(([a, b, x, c, d, y]) => Array.from({ length: count }, (_, k) => {
    const u = skin.flat[2 * k] / coarse, v = skin.flat[2 * k + 1] / coarse;
    const key = `${Math.round(10 * (a * u + b * v + x))} ${Math.round(10 * (c * u + d * v + y))}`;
    if (!points.has(key)) points.set(key, points.size);
    return points.get(key);
  }));
  skin.plan.forEach(([a, b, , c, d], seat) => {
    const back = a * d - b * c < 0;
    for (let k = 0; k < many; k++) {
      const patch = skin.patch[seat * many + k];
      const tri = [0, 1, 2].map((j) => {
        const point = skin.triangles[3 * k + j], weld = welded[seat][point], key = weld * 4096 + patch;
        if (!corners.has(key)) {
          corners.set(key, vertices.length);
          vertices.push([seat, point, patch]);
        }
        if (!own.has(weld)) own.set(weld, new Set());
        own.get(weld).add(patch);
        return corners.get(key);
      });
      triangles.push(tri[0], ...(back ? [tri[2], tri[1]] : [tri[1], tri[2]]));
      patches.push(patch);
    }
  });
  return { welded, vertices, sheet: triangles, patches, own, edges: inner(triangles) };
}

// Edges with a triangle on both sides: two vertices, two triangles.
function inner(triangles) {
  const seen = new Map(), made = [];
  for (let k = 0; k < triangles.length; k++) {
    const a = triangles[k], b = triangles[k % 3 === 2 ? k - 2 : k + 1];
    const key = Math.min(a, b) * 65536 + Math.max(a, b);
    if (seen.has(key)) made.push([a, b, seen.get(key), Math.floor(k / 3)]);
    else seen.set(key, Math.floor(k / 3));
  }
  return made;
}

// Each line once, with the smooth parts that it bounds.
function skinLines(skin, { welded, own }) {
  const told = new Set(), made = [];
  welded.forEach((numbers, seat) => skin.lines.forEach(([kind, ...row]) => {
    const all = row.map((k) => numbers[k]), key = [...all].sort((a, b) => a - b).join(" ");
    if (told.has(key)) return;
    told.add(key);
    const found = [...new Set(all.flatMap((k) => [...(own.get(k) || [])]))];
    const parts = kind === EDGE ? found : found.filter((patch) => all.every((k) => own.get(k)?.has(patch))); // an edge may pass several
    made.push({ kind, seat, row, parts });
  }));
  return made;
}

// -- folding ----------------------------------------------------------------

// What lies between two rows [place, numbers], each number going evenly from one to the other.
function between(rows, place) {
  let k = rows.findIndex((row) => row[0] >= place);
  if (k < 0) k = rows.length - 1;
  if (k === 0) return rows[0][1];
  const [from, one] = rows[k - 1], [to, other] = rows[k];
  const share = Math.min(1, Math.max(0, (place - from) / (to - from)));
  return one.map((angle, i) => angle + share * (other[i] - angle));
}

// Where each panel lies: nine numbers of a turn, row by row, and three of a shift.
export function framesAt(body, place) {
  const angles = between(body.angles, place), frames = [];
  frames[body.root] = [1, 0, 0, 0, 1, 0, 0, 0, 1, 0, 0, 0];
  for (const [panel, parent, hinge, x, y, a, b] of body.arms) {
    const s = Math.sin(-angles[hinge]), c = Math.cos(angles[hinge]), r = 1 - c;
    const turn = [c + r * a * a, r * a * b, s * b, r * a * b, c + r * b * b, -s * a, -s * b, s * a, c];
    const shift = [x - turn[0] * x - turn[1] * y, y - turn[3] * x - turn[4] * y, -turn[6] * x - turn[7] * y];
    frames[panel] = times(frames[parent], [...turn, ...shift]);
  }
  return { angles, frames };
}

function times(p, q) {
  const made = [];
  for (let i = 0; i < 3; i++) for (let j = 0; j < 3; j++) made.push(p[3 * i] * q[j] + p[3 * i + 1] * q[3 + j] + p[3 * i + 2] * q[6 + j]);
  for (let i = 0; i < 3; i++) made.push(p[3 * i] * q[9] + p[3 * i + 1] * q[10] + p[3 * i + 2] * q[11] + p[9 + i]);
  return made;
}

const put = (f, x, y, z) => [f[0] * x + f[1] * y + f[2] * z + f[9], f[3] * x + f[4] * y + f[5] * z + f[10], f[6] * x + f[7] * y + f[8] * z + f[11]];

// How many layers each panel lies above its own plane; it gets there as its step begins, in the air.
function liftsAt(body, place) {
  const found = new Map();
  for (const [at, ...pairs] of body.lifts) {
    const share = Math.min(1, (place - at + 1) / LANDING);
    if (share <= 0) break;
    const before = new Map(found);
    found.clear();
    for (const [panel, level] of before) if (share < 1) found.set(panel, level * (1 - share));
    for (let k = 0; k < pairs.length; k += 2) found.set(pairs[k], (found.get(pairs[k]) || 0) + share * pairs[k + 1]);
  }
  return found;
}

// The cell of a bent sheet at a place: along cubics (Hermite's), that turn no corner but where a step ends.
export function cellAt(skin, place) {
  const at = skin.at, last = at.length - 1;
  const x = Math.min(Math.max(place, at[0]), at[last]);
  let k = at.findIndex((each) => each > x) - 1;
  if (k < 0) k = last - 1;
  const rests = (i) => i === 0 || i === last || Number.isInteger(at[i]);
  const chord = (i, j, n) => (skin.keys[j][n] - skin.keys[i][n]) / (at[j] - at[i]);
  const slope = (i, j, n) => {
    if (!rests(i)) return chord(i - 1, i + 1, n);
    const c = chord(i, j, n);
    return rests(j) ? c : (3 * c - chord(j - 1, j + 1, n)) / 2;
  };
  const wide = at[k + 1] - at[k], u = (x - at[k]) / wide, v = 1 - u;
  return skin.keys[k].map((p, n) => (1 + 2 * u) * v * v * p + u * u * (3 - 2 * u) * skin.keys[k + 1][n]
    + wide * (u * v * v * slope(k, k + 1, n) - u * u * v * slope(k + 1, k, n)));
}

// -- one piece ----------------------------------------------------------------

// A piece at a place, in its own frame: points, triangles with their parts, lines, ribbons.
export function bodyAt(body, place) {
  const { angles, frames } = framesAt(body, place);
  const skin = body.skin, bent = Boolean(skin) && (place > skin.at[0] || body.panels.every((panel) => !panel));
  const hidden = new Set(bent ? skin.covers : []), lifts = liftsAt(body, place);
  const made = { points: [], triangles: [], parts: [], smooth: null, lines: [], laces: [], ups: new Map() };
  const frameOf = (panel) => frames[body.rides[panel]];
  const shown = (panel) => body.panels[panel] && !hidden.has(panel);
  body.panels.forEach((panel, k) => {
    if (!shown(k)) return;
    const first = made.points.length / 3, frame = frameOf(k), lift = LAYER * (lifts.get(k) || 0);
    for (let i = 0; i < panel[0].length; i += 2) made.points.push(...put(frame, panel[0][i], panel[0][i + 1], lift));
    panel[1].forEach((corner) => made.triangles.push(first + corner));
    for (let i = 0; i < panel[1].length; i += 3) made.parts.push(k);
  });
  for (const line of body.lines) {
    const own = [line.one, line.other].filter(shown);
    if (!own.length) continue;
    const one = frameOf(own[0]), other = frameOf(own[own.length - 1]), lift = LAYER * (lifts.get(own[0]) || 0), points = [];
    for (let i = 0; i < line.xy.length; i += 2) points.push(...put(one, line.xy[i], line.xy[i + 1], lift));
    let kind = line.kind;
    if (kind === FOLD && line.hinge >= 0 && Math.abs(angles[line.hinge]) < FOLDED) kind = MARK;
    if (kind === FOLD && line.hinge < 0 && own.length > 1 && one[2] * other[2] + one[5] * other[5] + one[8] * other[8] > 1 - FOLDED ** 2) kind = MARK;
    made.lines.push({ kind, points, parts: own });
  }
  body.extras.forEach((extra, k) => {
    if (place > extra.from && (extra.panel < 0 || shown(extra.panel))) addExtra(made, extra, EXTRA + k, extra.panel < 0 ? null : frameOf(extra.panel), lifts.get(extra.panel) || 0);
  });
  const cell = bent ? cellAt(skin, place) : null;
  if (bent) addSkin(made, skin, cell, body.panels.length);
  if (body.laces.length && place >= Math.max(...body.moves) - THERE) { // drawn through, and tied
    made.laces.push(...body.bows.map((line) => [...line]));
    return made;
  }
  for (const [from, flat, sheet] of body.laces) {
    const rows = bent ? sheet.map((row) => onSkin(skin, cell, row)) : flat.map((row) => onPanels(row, frameOf));
    made.laces.push(...drawnThrough(rows, place - from + 1));
  }
  return made;
}

// A mat on its panel, or a side of a band where the finished box has it.
function addExtra(made, { up, side, xy, triangles, lines }, part, frame, level) {
  const first = made.points.length / 3, lift = LAYER * (level + side / 2);
  const inSpace = (row) => {
    if (!frame) return [...row];
    const points = [];
    for (let i = 0; i < row.length; i += 2) points.push(...put(frame, row[i], row[i + 1], lift));
    return points;
  };
  made.points.push(...inSpace(xy));
  triangles.forEach((corner) => made.triangles.push(first + corner));
  for (let i = 0; i < triangles.length; i += 3) made.parts.push(part);
  for (const line of lines) made.lines.push({ kind: EDGE, points: inSpace(line), parts: [part] });
  made.ups.set(part, up);
}

// The part of a ribbon, from hole to hole, that is drawn through by then.
function drawnThrough(rows, share) {
  const lengths = rows.map((row) => { let sum = 0; for (let i = 3; i < row.length; i += 3) sum += Math.hypot(row[i] - row[i - 3], row[i + 1] - row[i - 2], row[i + 2] - row[i - 1]); return sum; });
  let left = Math.min(1, share + 1e-9) * lengths.reduce((sum, n) => sum + n, 0);
  const made = [];
  rows.forEach((row, k) => {
    if (left >= lengths[k]) made.push(row);
    else if (left > 0) {
      const part = row.slice(0, 3);
      let rest = left;
      for (let i = 3; i < row.length && rest > 0; i += 3) {
        const step = [0, 1, 2].map((c) => row[i + c] - row[i + c - 3]), long = Math.hypot(...step) || 1e-9;
        part.push(...step.map((n, c) => row[i + c - 3] + Math.min(1, rest / long) * n));
        rest -= long;
      }
      made.push(part);
    }
    left -= lengths[k];
  });
  return made;
}

function seated(skin, cell, seat, point) {
  const [a, b, c, x, d, e, f, y, g, h, i, z] = skin.seats[seat], n = skin.count;
  const p = cell[point], q = cell[n + point], r = cell[2 * n + point];
  return [a * p + b * q + c * r + x, d * p + e * q + f * r + y, g * p + h * q + i * r + z];
}

function addSkin(made, skin, cell, firstPart) {
  const first = made.points.length / 3, firstTriangle = made.parts.length;
  const points = skin.vertices.map(([seat, point]) => seated(skin, cell, seat, point));
  const normals = points.map(() => [0, 0, 0]);
  for (let k = 0; k < skin.sheet.length; k += 3) {
    const [i, j, l] = [skin.sheet[k], skin.sheet[k + 1], skin.sheet[k + 2]], n = cross(points[i], points[j], points[l]);
    for (const v of [i, j, l]) for (let c = 0; c < 3; c++) normals[v][c] += n[c];
  }
  normals.forEach((n) => { const size = Math.hypot(...n) || 1; for (let c = 0; c < 3; c++) n[c] /= size; });
  const layers = new Map(skin.layers);
  points.forEach((p, v) => {
    const lift = LAYER * (layers.get(skin.vertices[v][2]) || 0);
    made.points.push(p[0] + lift * normals[v][0], p[1] + lift * normals[v][1], p[2] + lift * normals[v][2]);
  });
  skin.sheet.forEach((corner) => made.triangles.push(first + corner));
  skin.patches.forEach((patch) => made.parts.push(firstPart + patch));
  made.smooth = { first, firstTriangle, normals, edges: skin.edges };
  for (const line of skin.lines) {
    const row = line.row.flatMap((point) => seated(skin, cell, line.seat, point));
    made.lines.push({ kind: line.kind, points: rounded(row), parts: line.parts.map((patch) => firstPart + patch) });
  }
  for (const rim of skin.rims) made.lines.push({ kind: HOLE, points: onSkin(skin, cell, [0, ...rim]), parts: rimParts(skin, rim).map((patch) => firstPart + patch) });
}

const rimParts = (skin, rim) => rim.flatMap((seat, i) => (i % 4 ? [] : [skin.patch[(seat * skin.triangles.length) / 3 + rim[i + 1]]]));

// A row of points as a curve through them (cubics between each two), so that only true corners show.
function rounded(row) {
  const count = row.length / 3, made = [];
  if (count < 3) return row;
  const ways = [], spans = [], at = (k) => row.slice(3 * k, 3 * k + 3);
  for (let k = 0; k + 1 < count; k++) {
    const [p, q] = [at(k), at(k + 1)], step = q.map((n, c) => n - p[c]);
    spans.push(Math.hypot(...step) || 1e-9);
    ways.push(step.map((n) => n / spans[k]));
  }
  const bends = (k) => k > 0 && k < count - 1 && ways[k - 1].reduce((sum, n, c) => sum + n * ways[k][c], 0) > STRAIGHT;
  const tangent = (k, own) => {
    if (!bends(k)) return ways[own];
    const mean = ways[k - 1].map((n, c) => n + ways[k][c]), size = Math.hypot(...mean);
    return mean.map((n) => n / size);
  };
  for (let k = 0; k + 1 < count; k++) {
    const [p, q] = [at(k), at(k + 1)], one = tangent(k, k), other = tangent(k + 1, k);
    for (let n = 0; n < PARTS; n++) {
      const u = n / PARTS, v = 1 - u;
      for (let c = 0; c < 3; c++) made.push((1 + 2 * u) * v * v * p[c] + u * u * (3 - 2 * u) * q[c] + spans[k] * (u * v * v * one[c] - u * u * v * other[c]));
    }
  }
  return [...made, ...row.slice(-3)];
}

function cross(a, b, c) {
  const [ux, uy, uz] = [b[0] - a[0], b[1] - a[1], b[2] - a[2]], [vx, vy, vz] = [c[0] - a[0], c[1] - a[1], c[2] - a[2]];
  return [uy * vz - uz * vy, uz * vx - ux * vz, ux * vy - uy * vx];
}

function onPanels([off, ...row], frameOf) {
  const made = [];
  for (let i = 0; i < row.length; i += 3) made.push(...put(frameOf(row[i]), row[i + 1], row[i + 2], off));
  return made;
}

function onSkin(skin, cell, [off, ...row]) {
  const made = [];
  for (let i = 0; i < row.length; i += 4) {
    const [seat, triangle, v, w] = row.slice(i, i + 4);
    const corners = [0, 1, 2].map((j) => seated(skin, cell, seat, skin.triangles[3 * triangle + j]));
    const [a, b, , c, d] = skin.plan[seat], n = cross(...corners), size = (Math.hypot(...n) || 1) * Math.sign(a * d - b * c);
    for (let k = 0; k < 3; k++) made.push((1 - v - w) * corners[0][k] + v * corners[1][k] + w * corners[2][k] + (off * n[k]) / size);
  }
  return made;
}

// -- all pieces -------------------------------------------------------------

// How far a stretch has gone in which a piece bends, as no flat panels can: 0 to 1, or null where none does.
export function bending(data, place, only = null) {
  const found = data.bodies.flatMap((body, k) => (!only || only.includes(k) ? body.bends : [])).find(([from, to]) => from < place && place < to);
  return found ? (place - found[0]) / (found[1] - found[0]) : null;
}

// Where a piece is shown: of a stretch in which it bends there are only the two ends.
const shownAt = (body, place, end) => {
  const stretch = body.bends.find(([from, to]) => from < place && place < to);
  return stretch ? stretch[end] : place;
};

// Everything at a place as it stands on the table: a list of pieces, and the box round them. ``only`` names some of
// the pieces; ``end`` says which end (0 or 1) of a stretch in which one bends.
export function sceneAt(data, place, only = null, end = 0) {
  const numbers = data.bodies.map((_, k) => k).filter((k) => !only || only.includes(k));
  const yaw = (data.view[0] * Math.PI) / 180, right = [Math.cos(yaw), Math.sin(yaw)];
  const pieces = numbers.map((k) => ({ number: k, up: data.bodies[k].up, ...standing(bodyAt(data.bodies[k], shownAt(data.bodies[k], Math.min(place, data.places), end)), data.bodies[k].turn) }));
  const spans = pieces.map(({ points }) => span(points, right)), widest = Math.max(...spans);
  let x = 0;
  const shifts = spans.map((wide) => { const at = x + wide / 2; x += wide + GAP * widest; return at; });
  const over = data.lid >= 0 && !only ? Math.max(0, place - data.places) : 0;
  pieces.forEach((piece, k) => {
    const aside = (shifts[k] - (x - GAP * widest) / 2) * Math.cos((over * Math.PI) / 2); // a lid goes up first, then over its base
    const high = over && piece.number === data.lid ? Math.sin((over * Math.PI) / 2) : 0;
    const c = high ? Math.cos(over * Math.PI) : 1, s = high ? Math.sin(over * Math.PI) : 0;
    const lift = high ? high * (top(pieces[1 - k].points) + top(piece.points) * (1 + LIFT)) : 0;
    moved(piece, (p) => [p[0] + aside * right[0], c * p[1] - s * p[2] + aside * right[1], s * p[1] + c * p[2] + lift]);
  });
  return pieces;
}

const top = (points) => { let most = -Infinity; for (let i = 2; i < points.length; i += 3) most = Math.max(most, points[i]); return most; };

function span(points, right) {
  let low = Infinity, high = -Infinity;
  for (let i = 0; i < points.length; i += 3) {
    const x = points[i] * right[0] + points[i + 1] * right[1];
    low = Math.min(low, x);
    high = Math.max(high, x);
  }
  return high - low;
}

// Turned upright and put in the middle of the table.
function standing(piece, t) {
  moved(piece, (p) => [t[0] * p[0] + t[1] * p[1] + t[2] * p[2], t[3] * p[0] + t[4] * p[1] + t[5] * p[2], t[6] * p[0] + t[7] * p[1] + t[8] * p[2]]);
  const low = [Infinity, Infinity, Infinity], high = [-Infinity, -Infinity];
  for (let i = 0; i < piece.points.length; i++) {
    low[i % 3] = Math.min(low[i % 3], piece.points[i]);
    if (i % 3 < 2) high[i % 3] = Math.max(high[i % 3], piece.points[i]);
  }
  const x = (low[0] + high[0]) / 2, y = (low[1] + high[1]) / 2;
  moved(piece, (p) => [p[0] - x, p[1] - y, p[2] - low[2]]);
  return piece;
}

function moved(piece, move) {
  const each = (points) => {
    for (let i = 0; i < points.length; i += 3) [points[i], points[i + 1], points[i + 2]] = move([points[i], points[i + 1], points[i + 2]]);
  };
  each(piece.points);
  piece.lines.forEach((line) => each(line.points));
  piece.laces.forEach(each);
  if (piece.smooth) { // directions turn and do not shift
    const o = move([0, 0, 0]);
    piece.smooth.normals = piece.smooth.normals.map((n) => { const m = move(n); return [m[0] - o[0], m[1] - o[1], m[2] - o[2]]; });
  }
}
