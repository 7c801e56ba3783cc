// Draws paper in space on a canvas: what is nearer hides what is farther, point by point; faces in few tones,
// the plain side hatched; outlines strong, folds fine. The same light and lines as the still pictures (generator/drawing).
import { FOLD, HOLE, MARK } from "./fold-shape.js";

const LIGHT = [-0.4504, 0.6206, 0.6406]; // to the right, upward, towards the eye
const TONES = [0.16, 0.32, 0.5]; // darker than this is the next tone
const INSIDE = 0.1; // so much darker is the plain side
const FAR = 4; // distance of the eye, in greatest extents
const BEFORE = 0.06; // mm by which paper must lie before a line to hide it
const DEEP = 6; // mm; paper so much farther away does not touch a line
const STEP = 1.5; // pixels between two places at which a line is looked at
const EDGE = 1.5; // mm of the picture round the paper
const FINEST = 2; // pixels of ours for one of the page at least, so that edges come out smooth

export class Drawing {
  constructor(canvas) {
    this.canvas = canvas;
    this.pen = canvas.getContext("2d", { willReadFrequently: true });
    this.colours();
  }

  // The page's own colours, whatever the scheme; asked again when the scheme changes.
  colours() {
    const style = getComputedStyle(this.canvas);
    const spot = document.createElement("canvas").getContext("2d", { willReadFrequently: true });
    spot.canvas.width = spot.canvas.height = 1;
    const read = (name) => {
      spot.fillStyle = style.getPropertyValue(`--${name}`).trim() || "#888";
      spot.fillRect(0, 0, 1, 1);
      return [...spot.getImageData(0, 0, 1, 1).data];
    };
    const packed = ([r, g, b]) => ((255 << 24) | (b << 16) | (g << 8) | r) >>> 0;
    const quiet = read("quiet"), mixed = (one, share) => one.map((n, k) => Math.round(n + share * (quiet[k] - n)));
    const sides = ["plain", "printed"].map((side) => [1, 2, 3, 4].map((tone) => read(`${side}-${tone}`)));
    this.tones = sides.map((tones) => tones.map(packed));
    this.hatch = sides[0].map((tone) => packed(mixed(tone, 0.45)));
    this.inks = Object.fromEntries(["ink", "quiet", "accent"].map((name) => [name, style.getPropertyValue(`--${name}`).trim()]));
  }

  // ``view`` is from where the still pictures are seen, ``turned`` how far from there (yaw and pitch, degrees);
  // ``fine`` is how many pixels of the page a millimetre of the still picture takes: lines are as wide as there.
  // ``scenes`` are one, or two of which the second comes in as the first goes out, by the share ``second``;
  // ``all`` are scenes of the whole way: one scale holds for them.
  draw(scenes, second, all, view, turned, fine) {
    const ratio = Math.max(FINEST, Math.min(window.devicePixelRatio || 1, 3));
    const wide = Math.round(this.canvas.clientWidth * ratio), high = Math.round(this.canvas.clientHeight * ratio);
    if (!wide || !high) return;
    if (this.canvas.width !== wide || this.canvas.height !== high) {
      this.canvas.width = wide;
      this.canvas.height = high;
      this.near = new Float32Array(wide * high);
      this.which = new Int32Array(wide * high);
      this.image = this.pen.createImageData(wide, high);
    }
    this.wide = wide;
    this.high = high;
    this.unit = fine * ratio;
    this.hold(all, view, turned);
    const drawn = scenes.map((pieces) => {
      this.look(pieces, view, turned);
      this.paint(pieces);
      this.pen.clearRect(0, 0, wide, high);
      this.pen.putImageData(this.image, 0, 0);
      this.ink(pieces);
      return scenes.length > 1 ? copied(this.canvas) : null;
    });
    if (scenes.length > 1) this.fade(drawn, second);
  }

  fade([one, other], second) {
    const pen = this.pen;
    pen.clearRect(0, 0, this.wide, this.high);
    pen.globalAlpha = 1 - second;
    pen.drawImage(one, 0, 0);
    pen.globalCompositeOperation = "lighter";
    pen.globalAlpha = second;
    pen.drawImage(other, 0, 0);
    pen.globalAlpha = 1;
    pen.globalCompositeOperation = "source-over";
  }

  // -- the camera -----------------------------------------------------------

  // The distance of the eye and the scale, for the whole way: as large as there is room, but turned never larger than at first.
  hold(all, view, turned) {
    const key = [this.wide, this.high, this.unit, ...view, ...turned].join(" ");
    if (key === this.held && all === this.heldFor) return;
    this.held = key;
    this.heldFor = all;
    this.distance = FAR * Math.max(1, ...all.flatMap((pieces) => { const [low, most] = box(pieces); return most.map((n, k) => n - low[k]); }));
    this.scale = Math.min(...all.flatMap((pieces) => [[0, 0], turned].map(([yaw, pitch]) => this.fitting(pieces, view[0] + yaw, view[1] + pitch).scale)));
  }

  look(pieces, view, turned) {
    this.shift = this.fitting(pieces, view[0] + turned[0], view[1] + turned[1]).middle.map((n) => -this.scale * n);
    this.light = [0, 1, 2].map((k) => LIGHT[0] * this.axes[0][k] + LIGHT[1] * this.axes[1][k] + LIGHT[2] * this.axes[2][k]);
  }

  // How large and where everything is seen from there.
  fitting(pieces, yaw, pitch) {
    const a = (yaw * Math.PI) / 180, b = (pitch * Math.PI) / 180;
    const right = [Math.cos(a), Math.sin(a), 0], eye = [Math.sin(a) * Math.cos(b), -Math.cos(a) * Math.cos(b), Math.sin(b)];
    this.axes = [right, [eye[1] * right[2] - eye[2] * right[1], eye[2] * right[0] - eye[0] * right[2], eye[0] * right[1] - eye[1] * right[0]], eye];
    const [near, far] = box(pieces), low = [Infinity, Infinity], most = [-Infinity, -Infinity];
    this.middle = near.map((n, k) => (n + far[k]) / 2);
    for (const points of pieces.flatMap((piece) => [piece.points, ...piece.laces])) {
      const seen = this.project(points, 1, [0, 0]);
      for (let i = 0; i < seen.length; i += 3) {
        for (let c = 0; c < 2; c++) {
          low[c] = Math.min(low[c], seen[i + c]);
          most[c] = Math.max(most[c], seen[i + c]);
        }
      }
    }
    const edge = EDGE * this.unit, room = [this.wide, this.high].map((n, c) => (n - 2 * edge) / Math.max(most[c] - low[c], 1e-3));
    return { scale: Math.min(...room), middle: [(low[0] + most[0] - this.wide) / 2, (low[1] + most[1] - this.high) / 2] };
  }

  // Places on the canvas with their nearness: x, y, n, x, y, n …
  project(points, scale = this.scale, shift = this.shift) {
    const made = new Float64Array(points.length), [r, u, e] = this.axes, m = this.middle;
    for (let i = 0; i < points.length; i += 3) {
      const x = points[i] - m[0], y = points[i + 1] - m[1], z = points[i + 2] - m[2];
      const near = this.distance / (this.distance - (e[0] * x + e[1] * y + e[2] * z));
      made[i] = this.wide / 2 + shift[0] + scale * near * (r[0] * x + r[1] * y + r[2] * z);
      made[i + 1] = this.high / 2 + shift[1] - scale * near * (u[0] * x + u[1] * y + u[2] * z);
      made[i + 2] = near;
    }
    return made;
  }

  // -- faces ----------------------------------------------------------------

  paint(pieces) {
    this.near.fill(0);
    this.which.fill(-1);
    let count = 0;
    for (const piece of pieces) count += piece.parts.length;
    this.planes = new Float64Array(3 * count); // of nearness
    this.shades = new Float64Array(3 * count);
    this.side = new Uint8Array(count);
    this.part = new Int32Array(count);
    this.front = new Uint8Array(count);
    let first = 0;
    pieces.forEach((piece, number) => {
      piece.first = first;
      piece.seen = this.project(piece.points);
      piece.parts.forEach((part, k) => this.triangle(piece, k, first + k, number * 65536 + part));
      first += piece.parts.length;
    });
    const out = new Uint32Array(this.image.data.buffer), period = Math.max(6, Math.round(1.5 * this.unit)), line = Math.max(1, Math.round(0.16 * this.unit));
    for (let y = 0, i = 0; y < this.high; y++) {
      for (let x = 0; x < this.wide; x++, i++) {
        const k = this.which[i];
        if (k < 0) {
          out[i] = 0;
          continue;
        }
        const dark = this.shades[3 * k] * x + this.shades[3 * k + 1] * y + this.shades[3 * k + 2];
        const tone = (dark > TONES[0]) + (dark > TONES[1]) + (dark > TONES[2]);
        out[i] = !this.side[k] && (x + y) % period < line ? this.hatch[tone] : this.tones[this.side[k]][tone];
      }
    }
  }

  triangle(piece, k, id, part) {
    const [i, j, l] = [3 * piece.triangles[3 * k], 3 * piece.triangles[3 * k + 1], 3 * piece.triangles[3 * k + 2]], s = piece.seen;
    const ax = s[i], ay = s[i + 1], bx = s[j], by = s[j + 1], cx = s[l], cy = s[l + 1];
    const area = (bx - ax) * (cy - ay) - (by - ay) * (cx - ax);
    this.part[id] = part;
    this.front[id] = area < 0 ? 1 : 0; // y runs downward here
    if (Math.abs(area) < 1e-6) return;
    const plane = (p, q, r, to) => { // of a value at the corners
      const x = ((q - p) * (cy - ay) - (r - p) * (by - ay)) / area, y = ((r - p) * (bx - ax) - (q - p) * (cx - ax)) / area;
      to[3 * id] = x;
      to[3 * id + 1] = y;
      to[3 * id + 2] = p - x * ax - y * ay;
    };
    plane(s[i + 2], s[j + 2], s[l + 2], this.planes);
    this.side[id] = this.front[id] === (piece.ups.get(part % 65536) ?? piece.up) ? 1 : 0;
    const inside = this.side[id] ? 0 : INSIDE, way = this.front[id] ? 1 : -1;
    const dark = (n) => Math.min(1, (1 - way * (n[0] * this.light[0] + n[1] * this.light[1] + n[2] * this.light[2])) / 2 + inside);
    const smooth = piece.smooth;
    if (smooth && k >= smooth.firstTriangle) plane(...[i, j, l].map((v) => dark(smooth.normals[v / 3 - smooth.first])), this.shades);
    else this.shades[3 * id + 2] = dark(normal(piece.points, i, j, l));
    this.fill(id, area > 0 ? [ax, ay, bx, by, cx, cy] : [ax, ay, cx, cy, bx, by]);
  }

  fill(id, t) {
    const a = this.planes[3 * id], b = this.planes[3 * id + 1], c = this.planes[3 * id + 2];
    const first = Math.max(0, Math.ceil(Math.min(t[1], t[3], t[5]) - 0.5)), last = Math.min(this.high - 1, Math.floor(Math.max(t[1], t[3], t[5]) - 0.5));
    for (let y = first; y <= last; y++) {
      const at = y + 0.5;
      let from = -Infinity, to = Infinity;
      for (let k = 0; k < 6; k += 2) {
        const px = t[k], py = t[k + 1], qx = t[(k + 2) % 6], qy = t[(k + 3) % 6], rise = qy - py;
        if (Math.abs(rise) < 1e-9) continue;
        const x = px + ((at - py) * (qx - px)) / rise;
        if (rise < 0) from = Math.max(from, x);
        else to = Math.min(to, x);
      }
      const start = Math.max(0, Math.ceil(from - 0.5)), end = Math.min(this.wide - 1, Math.floor(to - 0.5));
      for (let x = start, i = y * this.wide + start; x <= end; x++, i++) {
        const near = a * (x + 0.5) + b * at + c;
        if (near > this.near[i]) {
          this.near[i] = near;
          this.which[i] = id;
        }
      }
    }
  }

  // -- lines ----------------------------------------------------------------

  ink(pieces) {
    const strong = new Path2D(), fine = new Path2D(), marks = new Path2D(), laces = new Path2D();
    pieces.forEach((piece, number) => {
      const of = (part) => number * 65536 + part;
      for (const line of piece.lines) {
        const own = line.parts.map(of), seen = this.project(line.points);
        this.course(seen, own, line.kind === MARK ? [marks, marks] : line.kind === HOLE ? [fine, fine] : [fine, strong], line.kind === FOLD ? 4 * DEEP : DEEP);
      }
      if (piece.smooth) {
        for (const [a, b, one, other] of piece.smooth.edges) {
          const k = piece.first + piece.smooth.firstTriangle + one, l = piece.first + piece.smooth.firstTriangle + other;
          if (this.front[k] === this.front[l]) continue;
          const i = 3 * (piece.smooth.first + a), j = 3 * (piece.smooth.first + b), s = piece.seen;
          this.course(Float64Array.of(s[i], s[i + 1], s[i + 2], s[j], s[j + 1], s[j + 2]), [this.part[k]], [fine, strong], 4 * DEEP);
        }
      }
      for (const lace of piece.laces) this.course(this.project(lace), [], [laces, laces], DEEP);
    });
    const pen = this.pen;
    pen.lineCap = pen.lineJoin = "round";
    const stroke = (path, colour, width, dash = []) => {
      pen.strokeStyle = this.inks[colour];
      pen.lineWidth = width * this.unit;
      pen.setLineDash(dash.map((part) => part * this.unit));
      pen.stroke(path);
    };
    stroke(marks, "quiet", 0.2, [1.6, 1.1]);
    stroke(fine, "ink", 0.26);
    stroke(strong, "ink", 0.52);
    stroke(laces, "accent", 1.2);
  }

  // One line through projected points, in the stretches that are seen; paths for what lies on paper and for outlines.
  course(seen, own, [inner, outer], deep) {
    for (let i = 0; i + 5 < seen.length; i += 3) {
      const ax = seen[i], ay = seen[i + 1], an = seen[i + 2], dx = seen[i + 3] - ax, dy = seen[i + 4] - ay, dn = seen[i + 5] - an;
      const long = Math.hypot(dx, dy);
      if (long < 0.05) continue;
      const steps = Math.max(2, Math.ceil(long / STEP)), kinds = [];
      const sx = (-dy / long) * 0.45 * this.unit, sy = (dx / long) * 0.45 * this.unit;
      for (let k = 0; k <= steps; k++) {
        const u = Math.min(Math.max(k / steps, 0.5 / long), 1 - 0.5 / long), x = ax + u * dx, y = ay + u * dy, near = an + u * dn;
        kinds.push(!this.open(x, y, near, own) ? 0 : this.beyond(x + sx, y + sy, near, own, deep) || this.beyond(x - sx, y - sy, near, own, deep) ? 2 : 1);
      }
      for (let k = 1; k < steps; k++) if (kinds[k - 1] === kinds[k + 1]) kinds[k] = kinds[k - 1]; // no specks
      for (let k = 0, from = 0; k <= steps; k++) {
        if (k < steps && kinds[k + 1] === kinds[k]) continue;
        if (kinds[k]) {
          const u = Math.max(0, (from - 0.5) / steps), v = Math.min(1, (k + 0.5) / steps), path = kinds[k] === 2 ? outer : inner;
          path.moveTo(ax + u * dx, ay + u * dy);
          path.lineTo(ax + v * dx, ay + v * dy);
        }
        from = k + 1;
      }
    }
  }

  // Whether a place of a line is seen: one of the four points round it shows its own paper, nothing, or paper behind it.
  open(x, y, near, own) {
    const left = Math.floor(x - 0.5), up = Math.floor(y - 0.5);
    for (let k = 0; k < 4; k++) {
      const id = this.at(left + (k & 1), up + (k >> 1));
      if (id < 0 || own.includes(this.part[id]) || this.nearness(id, x, y) <= near + BEFORE / this.distance) return true;
    }
    return false;
  }

  // Whether what is seen beside a line is no paper, or paper far behind it.
  beyond(x, y, near, own, deep) {
    const id = this.at(Math.floor(x), Math.floor(y));
    return id < 0 || (!own.includes(this.part[id]) && this.nearness(id, x, y) < near - deep / this.distance);
  }

  at(x, y) {
    return x < 0 || y < 0 || x >= this.wide || y >= this.high ? -1 : this.which[y * this.wide + x];
  }

  nearness(id, x, y) {
    return this.planes[3 * id] * x + this.planes[3 * id + 1] * y + this.planes[3 * id + 2];
  }
}

// The least and the greatest of x, y and z.
function box(pieces) {
  const low = [Infinity, Infinity, Infinity], most = [-Infinity, -Infinity, -Infinity];
  for (const { points } of pieces) {
    for (let i = 0; i < points.length; i++) {
      low[i % 3] = Math.min(low[i % 3], points[i]);
      most[i % 3] = Math.max(most[i % 3], points[i]);
    }
  }
  return [low, most];
}

function copied(canvas) {
  const made = Object.assign(document.createElement("canvas"), { width: canvas.width, height: canvas.height });
  made.getContext("2d").drawImage(canvas, 0, 0);
  return made;
}

function normal(p, i, j, l) {
  const ux = p[j] - p[i], uy = p[j + 1] - p[i + 1], uz = p[j + 2] - p[i + 2];
  const vx = p[l] - p[i], vy = p[l + 1] - p[i + 1], vz = p[l + 2] - p[i + 2];
  const n = [uy * vz - uz * vy, uz * vx - ux * vz, ux * vy - uy * vx], size = Math.hypot(...n) || 1;
  return [n[0] / size, n[1] / size, n[2] / size];
}
