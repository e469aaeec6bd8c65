// The curve: what was poured over what was planned.
// In pixels of a phone; a projector has larger figures and lines.
const LEFT = 44;
const BOTTOM = 22;
const PHONE_WIDTH = 700;
const PHONE_HEIGHT = 250;
const STEP_S = 0.2; // between two points that are kept: a pixel of a phone

export class Curve {
  constructor(canvas) {
    this.canvas = canvas;
    this.points = [];
    this.plan = [];
    this.tip = null;
    this.waiting = false;
    new ResizeObserver(() => this.soon()).observe(canvas);
    matchMedia("(prefers-color-scheme: light)").addEventListener("change", () => this.soon());
  }

  restart(trace) {
    this.points = trace.map(([t, grams]) => [t, grams]);
    this.soon();
  }

  show(plan, tile) {
    this.plan = plan;
    if (tile !== null && tile.time_s !== null && tile.weight_g !== null) {
      this.tip = [tile.time_s, tile.weight_g];
      // A replay that was wound back, or another brew.
      while (this.points.length && this.points.at(-1)[0] > tile.time_s) this.points.pop();
      const last = this.points.at(-1);
      if (!last || tile.time_s - last[0] >= STEP_S) this.points.push(this.tip);
    } else if (tile !== null && tile.time_s === null) {
      this.points = [];
      this.tip = null;
    }
    this.soon();
  }

  soon() {
    if (this.waiting) return;
    this.waiting = true;
    requestAnimationFrame(() => { this.waiting = false; this.draw(); });
  }

  draw() {
    const { canvas } = this;
    const ratio = devicePixelRatio || 1;
    const width = canvas.clientWidth;
    const height = canvas.clientHeight;
    if (!width || !height) return;
    if (canvas.width !== Math.round(width * ratio) || canvas.height !== Math.round(height * ratio)) {
      canvas.width = Math.round(width * ratio);
      canvas.height = Math.round(height * ratio);
    }
    const pen = canvas.getContext("2d");
    const colour = (name) => getComputedStyle(document.documentElement).getPropertyValue(name);
    const all = [...this.plan, ...this.points, ...(this.tip ? [this.tip] : [])];
    const lastS = Math.max(60, ...all.map(([t]) => t));
    const mostG = 1.08 * Math.max(50, ...all.map(([, grams]) => grams));
    const scale = Math.max(1, Math.min(width / PHONE_WIDTH, height / PHONE_HEIGHT));
    const left = scale * LEFT;
    const bottom = scale * BOTTOM;
    const x = (t) => left + (t / lastS) * (width - left - 8);
    const y = (grams) => height - bottom - (grams / mostG) * (height - bottom - 8);
    pen.setTransform(ratio, 0, 0, ratio, 0, 0);
    pen.clearRect(0, 0, width, height);
    pen.font = `${13 * scale}px system-ui, sans-serif`;
    pen.fillStyle = colour("--dim");
    pen.strokeStyle = colour("--dim");
    pen.lineWidth = 1;
    pen.textAlign = "right";
    const stepG = mostG > 260 ? 100 : 50;
    for (let grams = 0; grams <= mostG; grams += stepG) pen.fillText(`${grams}`, left - 6 * scale, y(grams) + 4 * scale);
    pen.textAlign = "center";
    for (let t = 0; t <= lastS; t += 60) pen.fillText(`${t / 60}:00`, Math.max(left, x(t)), height - 5 * scale);
    const line = (points, name, wide, dash) => {
      pen.strokeStyle = colour(name);
      pen.lineWidth = wide;
      pen.setLineDash(dash);
      pen.lineJoin = "round";
      pen.beginPath();
      points.forEach(([t, grams], place) => (place ? pen.lineTo(x(t), y(grams)) : pen.moveTo(x(t), y(grams))));
      pen.stroke();
    };
    line(this.plan, "--plan", 2 * scale, [3 * scale, 5 * scale]);
    line([...this.points, ...(this.tip ? [this.tip] : [])], "--poured", 4 * scale, []);
  }
}
