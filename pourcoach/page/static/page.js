// Shows what the server sends; sends nothing but the key of its address.
import { Curve } from "./curve.js";
import { Sound, wireSound } from "./sound.js";

const OLD_MS = 2000; // as on the wall
const FIRST_WAIT_MS = 250;
const LONGEST_WAIT_MS = 4000;
const NO_ENTRY = 4401;
const REACH_G = 20; // of the bar, on each side: as on the brew screen
const LEAST_TILE = 260; // px: the longest word and a weight can be read
const MARKS = {
  "TARE": "!", "READY": "○", "BLOOM": "▶", "POUR": "▶", "MORE": "▲", "SLOW": "▼", "STEADY": "≈",
  "STOP": "■", "WAIT": "‖", "DRAIN": "↓", "DONE": "✓", "SCALE?": "!", "OLD": "!", "GONE": "!",
};
const TONES = { "calm": "wait", "on target": "target" };

const at = (id) => document.getElementById(id);
const stations = new Map();
const curve = new Curve(at("curve"));
const sound = new Sound();
let order = [];
let look = 0;
let heardAt = 0;
let connected = false;
let refused = false;
let saidWord = "";

function token() {
  // The fragment is never sent with a request. It is kept for this tab, so that reloading works,
  // and taken out of sight.
  const given = location.hash.slice(1);
  if (given) {
    sessionStorage.setItem("token", given);
    history.replaceState(null, "", location.pathname);
  }
  return given || sessionStorage.getItem("token") || "";
}

function connect(key, waitMs) {
  const socket = new WebSocket(`ws://${location.host}/ws`);
  let opened = false;
  socket.onopen = () => { opened = true; look = 0; socket.send(key); };
  socket.onmessage = (event) => {
    connected = true;
    heardAt = performance.now();
    take(JSON.parse(event.data));
  };
  socket.onclose = (event) => {
    connected = false;
    if (event.code === NO_ENTRY) {
      refused = true;
      draw();
      return;
    }
    draw();
    const next = opened ? FIRST_WAIT_MS : Math.min(2 * waitMs, LONGEST_WAIT_MS);
    setTimeout(() => connect(key, next), waitMs);
  };
}

function take(message) {
  look = message.look;
  if (message.order !== undefined) {
    order = message.order;
    for (const name of [...stations.keys()]) if (!order.includes(name)) stations.delete(name);
    at("notice").textContent = message.notice ?? "";
    at("notice").hidden = message.notice === null;
  }
  for (const station of message.stations) stations.set(station.name, station);
  if (message.traces !== undefined) curve.restart(message.traces[order[0]] ?? []);
  draw();
}

function shown(station) {
  // What may be gone by now, and how it is said.
  const tile = station.tile;
  const silent = !connected || performance.now() - heardAt > OLD_MS;
  let quiet = { "old": "OLD", "gone": "GONE" }[station.standing] ?? "";
  if (silent) quiet = "OLD";
  const lost = quiet !== "" || station.trouble !== null || tile === null || !tile.link;
  const word = quiet || (tile === null || station.trouble !== null ? "SCALE?" : tile.word);
  let tone = TONES[tile?.state] ?? "act";
  if (lost) tone = quiet ? "wait" : "act";
  const last = tile === null ? "" : `Last: ${tile.word} ${number(tile.weight_g, 0)} g`;
  const waits = !lost && tile.word === "WAIT" && tile.countdown_s !== null;
  let says = tile?.notice ?? tile?.says ?? "Nothing has come yet.";
  if (quiet) says = last + (station.age_s ? `, ${station.age_s} s ago` : "");
  if (station.trouble !== null) says = station.trouble[0].toUpperCase() + station.trouble.slice(1);
  return {
    word, tone, lost, waits, says, tile,
    figure: lost ? "--.-" : waits ? clock(Math.ceil(Math.max(0, tile.countdown_s))) : number(tile.weight_g, 1),
    caption: lost || (!waits && tile.weight_g === null) ? "" : waits ? (tile.weight_g === null ? "" : `${number(tile.weight_g, 1)} g poured`)
      : tile.to_g === null ? "g" : `g of ${tile.to_g.toFixed(0)}`,
    time: tile === null || tile.time_s === null ? "-:--" : clock(Math.floor(tile.time_s)),
  };
}

const number = (value, digits) => (value === null || value === undefined ? "" : value.toFixed(digits));
const clock = (s) => `${Math.floor(s / 60)}:${String(Math.floor(s % 60)).padStart(2, "0")}`;

function text(node, value) {
  // A change of text is work for a screen reader, too.
  if (node.textContent !== value) node.textContent = value;
}

function draw() {
  const single = order.length === 1;
  at("one").hidden = !single;
  at("wall").hidden = order.length < 2;
  at("sound-button").hidden = !single; // of many at once nobody would know which
  const silent = connected && performance.now() - heardAt > OLD_MS;
  text(at("state"), refused ? "No entry: open the address, or scan the code, that the program shows."
    : !connected ? "No connection. Trying again…" : silent ? "OLD" : "");
  if (single) drawOne(stations.get(order[0]));
  else if (order.length > 1) drawWall();
}

function drawOne(station) {
  const view = shown(station);
  const { tile } = view;
  at("one").className = view.tone;
  text(at("who"), [tile?.person, view.time].filter(Boolean).join("  "));
  text(at("mark"), MARKS[view.word] ?? "");
  text(at("word"), view.word);
  text(at("figure"), view.figure);
  text(at("caption"), view.caption);
  text(at("says"), view.says);
  text(at("next"), !view.lost && tile.next ? `Next: ${tile.next}` : "");
  drawBar(at("bar"), view);
  const left = at("left");
  left.hidden = !view.waits;
  if (view.waits) {
    left.setAttribute("aria-label", `${view.figure} left to wait`);
    left.full = Math.max(left.full ?? 0, tile.countdown_s, 1);
    left.firstElementChild.style.transform = `scaleX(${Math.max(0, tile.countdown_s) / left.full})`;
  } else left.full = 0;
  curve.show(station.plan, view.lost ? null : tile);
  sound.hear(view.word, view.lost ? null : tile, station.pitch);
  if (view.word !== saidWord) {
    saidWord = view.word;
    // One word at a time, as a word: all capitals may be spelt out.
    text(at("live"), view.word[0] + view.word.slice(1).toLowerCase());
  }
}

function drawBar(bar, view) {
  const off = view.lost ? null : view.tile.off_g;
  const band = view.tile?.band_g ?? null;
  const [bandNode, fill] = bar.children;
  const share = (grams) => 50 * Math.min(1, Math.max(-1, grams / REACH_G));
  bandNode.hidden = band === null;
  if (band !== null) {
    bandNode.style.left = `${50 - share(band)}%`;
    bandNode.style.width = `${2 * share(band)}%`;
  }
  fill.hidden = off === null;
  if (off !== null) {
    fill.style.left = `${50 + Math.min(0, share(off))}%`;
    fill.style.width = `${Math.abs(share(off))}%`;
  }
  const said = off === null ? "No target" : Math.abs(off) < 0.5 ? "On target"
    : `${Math.abs(off).toFixed(0)} g ${off < 0 ? "under" : "over"}`;
  if (bar.getAttribute("aria-label") !== said) bar.setAttribute("aria-label", said);
}

function drawWall() {
  const list = at("tiles");
  while (list.children.length > order.length) list.lastElementChild.remove();
  while (list.children.length < order.length) list.append(newTile());
  fit(order.length, at("wall"), list);
  order.forEach((name, place) => drawTile(list.children[place], stations.get(name)));
}

function fit(count, wall, list) {
  // A tile is three quarters as high as it is wide, and as large as all of them can be. On a phone they
  // stand one below the other and are scrolled.
  const most = Math.max(1, Math.min(count, Math.floor(wall.clientWidth / LEAST_TILE)));
  let best = [1, 0];
  for (let columns = 1; columns <= most; columns += 1) {
    const wide = wall.clientWidth / columns;
    const high = wall.clientHeight / Math.ceil(count / columns);
    const size = Math.min(wide, 1.35 * high);
    if (size > best[1]) best = [columns, size];
  }
  list.style.setProperty("--columns", best[0]);
  list.style.setProperty("--size", `${Math.max(best[1], LEAST_TILE)}px`);
}

function newTile() {
  const node = document.createElement("li");
  const part = (kind, name, parent = node) => {
    const made = document.createElement(kind);
    made.className = name;
    parent.append(made);
    return made;
  };
  const head = part("div", "head");
  part("span", "name", head);
  part("span", "time", head);
  part("div", "word");
  const weight = part("div", "weight");
  part("span", "figure", weight);
  part("span", "caption", weight);
  const bar = part("div", "bar");
  bar.setAttribute("role", "img");
  for (const name of ["band", "fill", "centre"]) part("i", name, bar);
  part("div", "line next");
  part("div", "line finding");
  return node;
}

function drawTile(node, station) {
  const view = shown(station);
  const find = (name) => node.querySelector(name);
  if (node.className !== `tile ${view.tone}`) node.className = `tile ${view.tone}`;
  text(find(".name"), [station.name, view.tile?.person].filter(Boolean).join("  "));
  text(find(".time"), view.time);
  text(find(".word"), `${MARKS[view.word] ?? ""} ${view.word}`);
  text(find(".figure"), view.figure);
  text(find(".caption"), view.caption);
  drawBar(find(".bar"), view);
  text(find(".next"), view.lost ? view.says : view.tile.next || view.says);
  text(find(".finding"), view.tile?.finding ? `! ${view.tile.finding.says}` : "");
}

wireSound(sound);
connect(token(), FIRST_WAIT_MS);
// Nothing new for two seconds is seen without a message.
setInterval(draw, 500);
