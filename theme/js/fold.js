// The fold slider: the finished picture, and those of the steps, folded and turned by the reader. Its data and the
// programs that fold and draw are fetched when they are first asked for; until then, and in print, the still pictures stand.
"use strict";

(function () {
  const box = document.getElementById("the-folding");
  if (!box) return;
  const stepButtons = [...document.querySelectorAll(".fold-this")];
  if (!location.protocol.startsWith("http")) { // a page opened from a folder may fetch nothing
    [box, ...stepButtons].forEach((each) => { each.hidden = true; });
    return;
  }
  const slider = document.getElementById("the-fold");
  const back = document.getElementById("the-fold-back");
  const next = document.getElementById("the-fold-next");
  const name = document.getElementById("the-fold-name");
  const failed = document.getElementById("the-fold-failed");
  const stops = [...document.querySelectorAll("#the-fold-stops option")];
  const still = matchMedia("(prefers-reduced-motion: reduce)");
  const STEP = 0.1; // of the way of one step, by an arrow key
  const SAMPLE = 0.25; // of a step: places that are looked at for the one scale of a way
  const TURN = 15; // degrees, by a key or a button
  const PLAY = 1600; // ms for a step that is played
  const GLIDE = 900; // … that is gone to by a button
  const FOLLOW = 70; // ms in which the picture comes after the slider

  // -- the data, once ---------------------------------------------------------

  let loading = null;
  function load() {
    if (!loading) {
      loading = Promise.all([
        fetch(box.dataset.fold).then((answer) => { if (!answer.ok) throw new Error(answer.status); return answer.json(); }),
        import("./fold-shape.js"), import("./fold-draw.js"),
      ]).then(([data, shape, drawing]) => {
        failed.hidden = true;
        return { data: shape.unpacked(data), shape, Drawing: drawing.Drawing };
      });
      loading.catch(() => { loading = null; failed.hidden = false; });
    }
    return loading;
  }

  // -- one picture --------------------------------------------------------------

  const pictures = [];
  class Picture {
    constructor(figure, place, first, only, note) {
      this.sheet = figure.querySelector(".sheet");
      this.figure = figure;
      this.place = this.ends = place; // where the still picture is
      this.first = first; // where its way begins
      this.only = only;
      this.note = note; // says where the paper bends
      this.turned = [0, 0]; // from where the still picture is seen
      this.sheet.addEventListener("pointerdown", (event) => this.grasp(event));
      // a swipe over the picture turns it, and does not go to the next step
      this.sheet.addEventListener("touchstart", (event) => event.stopPropagation(), { passive: true });
      pictures.push(this);
    }

    // The canvas over the still picture, once there is something to draw.
    async open() {
      if (this.tools) return;
      const tools = await load();
      if (this.tools) return;
      this.tools = tools;
      const svg = this.sheet.querySelector("svg");
      this.fine = svg.getBoundingClientRect().width / svg.viewBox.baseVal.width || 3;
      this.canvas = document.createElement("canvas");
      this.canvas.className = `fold-canvas ${box.dataset.worn ?? ""}`;
      this.canvas.tabIndex = 0;
      this.canvas.setAttribute("role", "img");
      this.canvas.setAttribute("aria-label", box.dataset.picture);
      this.canvas.addEventListener("keydown", (event) => this.key(event));
      this.sheet.append(this.canvas);
      this.drawing = new tools.Drawing(this.canvas);
      new ResizeObserver(() => this.draw()).observe(this.canvas);
      this.draw();
      this.figure.classList.add("folds");
    }

    draw() {
      if (!this.drawing) return;
      const { data, shape } = this.tools, only = this.only && data.bodies.map((body, k) => (this.only(body) ? k : -1));
      const fine = Math.min(Math.max(this.fine, 2.6), 5), second = shape.bending(data, this.place, only);
      const at = (place, end) => shape.sceneAt(data, place, only, end);
      if (!this.all) this.all = Array.from({ length: Math.round((this.ends - this.first) / SAMPLE) + 1 }, (_, k) => at(this.first + k * SAMPLE, 0));
      this.drawing.draw(second === null ? [at(this.place, 0)] : [at(this.place, 0), at(this.place, 1)], second, this.all, data.view, this.turned, fine);
      this.note.textContent = second === null ? "" : box.dataset.bends;
      this.canvas.dataset.place = this.place.toFixed(3);
      this.figure.classList.toggle("on-the-way", this.place < this.ends);
    }

    soon() {
      if (this.waits) return;
      this.waits = requestAnimationFrame(() => { this.waits = 0; this.draw(); });
    }

    // To a place: at once, after the slider (``time`` 0), or evenly in some time.
    go(place, time = 0) {
      cancelAnimationFrame(this.frame);
      return this.open().then(() => {
        if (still.matches) {
          this.place = place;
          this.soon();
          return;
        }
        cancelAnimationFrame(this.frame);
        const from = this.place, begin = performance.now();
        let last = begin;
        const move = (now) => {
          const done = time ? Math.min(1, Math.max(0, now - begin) / time) : 1 - Math.exp(-Math.max(0, now - last) / FOLLOW);
          this.place = time ? from + (place - from) * done * done * (3 - 2 * done) : this.place + (place - this.place) * done;
          last = now;
          const there = time ? done >= 1 : Math.abs(place - this.place) < 0.004;
          if (there) this.place = place;
          this.draw();
          if (!there) this.frame = requestAnimationFrame(move);
        };
        this.frame = requestAnimationFrame(move);
      }, () => {});
    }

    turn(yaw, pitch) {
      const mirrored = "left" in document.documentElement.dataset ? -1 : 1;
      return this.open().then(() => {
        const [low, high] = [-5 - this.tools.data.view[1], 88 - this.tools.data.view[1]];
        this.turned = [this.turned[0] + mirrored * yaw, Math.min(high, Math.max(low, this.turned[1] + pitch))];
        this.soon();
      }, () => {});
    }

    grasp(event) {
      if (event.button !== 0) return;
      let [x, y] = [event.clientX, event.clientY];
      const hand = event.pointerId;
      const drag = (moved) => {
        if (moved.pointerId !== hand) return;
        this.turn(-(moved.clientX - x) * 0.6, moved.pointerType === "mouse" ? (moved.clientY - y) * 0.4 : 0);
        [x, y] = [moved.clientX, moved.clientY];
      };
      const end = (moved) => {
        if (moved.pointerId !== hand) return;
        removeEventListener("pointermove", drag);
        removeEventListener("pointerup", end);
        removeEventListener("pointercancel", end);
      };
      addEventListener("pointermove", drag);
      addEventListener("pointerup", end);
      addEventListener("pointercancel", end); // the page is scrolled
      if (event.pointerType === "mouse") event.preventDefault(); // no text is marked
      if (this.canvas) this.canvas.focus({ preventScroll: true });
    }

    key(event) {
      const by = { ArrowLeft: [TURN, 0], ArrowRight: [-TURN, 0], ArrowUp: [0, -TURN], ArrowDown: [0, TURN] }[event.key];
      if (!by || event.ctrlKey || event.metaKey || event.altKey) return;
      event.preventDefault();
      event.stopPropagation(); // in the table view arrows go from step to step
      this.turn(...by);
    }
  }

  // A slider's arrows go a tenth of a step, its large keys a whole one.
  function keyed(range, whole) {
    range.addEventListener("keydown", (event) => {
      if (event.ctrlKey || event.metaKey || event.altKey) return;
      const by = { ArrowLeft: -STEP, ArrowDown: -STEP, ArrowRight: STEP, ArrowUp: STEP, PageDown: -whole, PageUp: whole }[event.key];
      if (["ArrowLeft", "ArrowRight"].includes(event.key)) event.stopPropagation();
      if (!by) return;
      event.preventDefault();
      range.value = Math.round((Number(range.value) + by) / STEP) * STEP;
      range.dispatchEvent(new Event("input", { bubbles: true }));
    });
    range.addEventListener("touchstart", (event) => event.stopPropagation(), { passive: true });
  }

  // -- the slider -----------------------------------------------------------

  const last = stops.length - 1;
  const figure = document.querySelector(".finished");
  const whole = new Picture(figure, last, 0, null, document.getElementById("the-fold-bends"));

  function say() {
    const at = Number(slider.value), stop = stops[Math.ceil(at - 1e-6)];
    slider.setAttribute("aria-valuetext", stop.label);
    back.setAttribute("aria-disabled", String(at <= 0));
    next.setAttribute("aria-disabled", String(at >= last));
    name.textContent = stop.label;
    if (stop.dataset.anchor) {
      const link = document.createElement("a");
      link.href = `#${stop.dataset.anchor}`;
      link.className = "number";
      link.textContent = stop.dataset.number;
      name.prepend(link, " ");
    }
  }

  function jump(to) {
    const at = Math.min(last, Math.max(0, to));
    if (at === Number(slider.value)) return;
    slider.value = at;
    say();
    whole.go(at, GLIDE);
  }

  slider.value = last; // some browsers bring back what it was before a reload
  say();
  keyed(slider, 1);
  ["input", "click"].forEach((kind) => box.addEventListener(kind, () => box.classList.add("used")));
  slider.addEventListener("input", () => { say(); whole.go(Number(slider.value)); });
  back.addEventListener("click", () => jump(Math.ceil(Number(slider.value) - 1e-6) - 1));
  next.addEventListener("click", () => jump(Math.floor(Number(slider.value) + 1e-6) + 1));
  document.getElementById("the-fold-left").addEventListener("click", () => whole.turn(TURN, 0));
  document.getElementById("the-fold-right").addEventListener("click", () => whole.turn(-TURN, 0));

  // -- the steps --------------------------------------------------------------

  stepButtons.forEach((part) => {
    const button = part.querySelector("button"), place = Number(button.dataset.place);
    const note = Object.assign(document.createElement("p"), { className: "note fold-bends" });
    note.setAttribute("role", "status");
    part.append(note);
    const picture = new Picture(part.parentElement.querySelector(".shape-after"), place, place - 1, (body) => body.moves.includes(place), note);
    let range = null;
    button.addEventListener("click", () => picture.open().then(() => {
      if (!range) {
        range = document.createElement("input");
        Object.assign(range, { type: "range", min: place - 1, max: place, step: 0.02, className: "fold-range" });
        range.setAttribute("aria-label", box.dataset.part);
        range.addEventListener("input", () => { tell(); picture.go(Number(range.value)); });
        keyed(range, 0.5);
        note.before(range);
      }
      picture.place = place - 1;
      picture.draw();
      range.value = still.matches ? place - 1 : place;
      tell();
      picture.go(Number(range.value), PLAY);
    }, () => {}));
    function tell() {
      range.setAttribute("aria-valuetext", (Number(range.value) - place + 1).toLocaleString(document.documentElement.lang, { style: "percent" }));
    }
  });

  // The colours are the page's own, and change with it.
  ["(prefers-color-scheme: dark)", "(forced-colors: active)", "print"].forEach((query) => matchMedia(query).addEventListener("change", () => {
    pictures.forEach((picture) => { if (picture.drawing) { picture.drawing.colours(); picture.draw(); } });
  }));
})();
