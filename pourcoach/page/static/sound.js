// Guidance with the eyes on the stream: a short sound for each change of word, never for a reading.

import { MOTIFS, PITCH } from "./motifs.js";

const SEMITONE = 2 ** (1 / 12);
const note = (semitones) => PITCH.concert_hz * SEMITONE ** semitones;
const POURING = new Set(PITCH.words);

export class Sound {
  constructor() {
    this.context = null;
    this.word = null;
    this.on = false;
    this.pitch = "off";
    this.speech = false;
    this.muted = false;
    this.volume = 0.4;
    this.played = []; // for whoever measures: [word, heard at, sounds at], in ms
  }

  begin() {
    // Browsers allow sound only once a person has asked for it.
    if (this.context === null) {
      this.context = new AudioContext({ latencyHint: "interactive" });
      this.out = this.context.createGain();
      this.out.connect(this.context.destination);
      this.drone = this.context.createOscillator();
      this.droneGain = this.context.createGain();
      this.droneGain.gain.value = 0;
      this.drone.connect(this.droneGain).connect(this.out);
      this.drone.start();
    }
    this.context.resume();
    this.level();
  }

  level() {
    if (this.context !== null) {
      this.out.gain.setTargetAtTime(this.muted ? 0 : this.volume, this.context.currentTime, 0.02);
    }
  }

  hear(word, tile, mayPitch) {
    if (word !== this.word) {
      const first = this.word === null;
      this.word = word;
      if (!first && this.context !== null && !this.muted) {
        if (this.on) this.play(word);
        if (this.speech) this.say(word);
      }
    }
    this.follow(word, tile, mayPitch);
  }

  play(word) {
    const motif = MOTIFS[word];
    if (motif === undefined || this.context === null) return;
    const begins = this.context.currentTime + 0.005;
    for (const [semitones, start, length] of motif.tones) {
      const tone = this.context.createOscillator();
      const gain = this.context.createGain();
      tone.type = "triangle";
      tone.frequency.value = note(semitones);
      // Without a soft edge a tone clicks.
      gain.gain.setValueAtTime(0, begins + start);
      gain.gain.linearRampToValueAtTime(1, begins + start + 0.008);
      gain.gain.setValueAtTime(1, begins + start + length - 0.02);
      gain.gain.linearRampToValueAtTime(0, begins + start + length);
      tone.connect(gain).connect(this.out);
      tone.start(begins + start);
      tone.stop(begins + start + length + 0.01);
    }
    const late = (begins - this.context.currentTime + (this.context.outputLatency || this.context.baseLatency)) * 1000;
    this.played.push([word, performance.now(), performance.now() + late]);
    if (this.played.length > 100) this.played.shift();
  }

  say(word) {
    speechSynthesis.cancel();
    speechSynthesis.speak(new SpeechSynthesisUtterance(word.replace("?", "").toLowerCase()));
  }

  follow(word, tile, mayPitch) {
    if (this.context === null) return;
    const now = this.context.currentTime;
    let semitones = null;
    if (tile !== null && POURING.has(word)) {
      if (this.pitch === "off-target" && mayPitch && tile.off_g !== null && Math.abs(tile.off_g) > (tile.band_g ?? 0)) {
        semitones = 12 * Math.min(1, Math.max(-1, tile.off_g / PITCH.reach_g));
      } else if (this.pitch === "flow" && tile.flow_gps !== null) {
        semitones = 12 * (Math.min(2, Math.max(0, tile.flow_gps / PITCH.usual_flow_gps)) - 1);
      }
    }
    this.droneGain.gain.setTargetAtTime(semitones === null ? 0 : 0.25, now, PITCH.glide_s);
    if (semitones !== null) this.drone.frequency.setTargetAtTime(note(semitones) / 2, now, PITCH.glide_s);
  }
}

export function wireSound(sound) {
  const at = (id) => document.getElementById(id);
  const dialog = at("sound");
  at("sound-button").onclick = () => { dialog.showModal(); };
  at("sound-close").onclick = () => { dialog.close(); };
  at("sound-on").onchange = (event) => { sound.on = event.target.checked; sound.begin(); };
  at("sound-pitch").onchange = (event) => { sound.pitch = event.target.value; sound.begin(); };
  at("sound-speech").onchange = (event) => { sound.speech = event.target.checked; sound.begin(); };
  at("sound-mute").onchange = (event) => { sound.muted = event.target.checked; sound.begin(); };
  at("sound-volume").oninput = (event) => { sound.volume = event.target.value / 100; sound.begin(); };
  for (const [word, motif] of Object.entries(MOTIFS)) {
    const item = document.createElement("li");
    const button = document.createElement("button");
    button.type = "button";
    button.textContent = word;
    button.onclick = () => { sound.begin(); sound.play(word); };
    item.append(button, ` ${motif.says}`);
    at("sound-list").append(item);
  }
  window.pourcoachSound = sound;
}
