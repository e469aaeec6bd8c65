// Guidance with the eyes on the stream: a short sound for each change of word, never for a reading.

const SEMITONE = 2 ** (1 / 12);
const note = (semitones) => 440 * SEMITONE ** semitones;
// [semitones from 440 Hz, start, length in seconds] of each tone. Told apart by direction and number.
export const MOTIFS = {
  "TARE": { says: "two low taps", tones: [[-12, 0, .07], [-12, .12, .07]] },
  "READY": { says: "one soft middle tone", tones: [[0, 0, .16]] },
  "BLOOM": { says: "a step up", tones: [[0, 0, .1], [5, .11, .16]] },
  "POUR": { says: "a leap up", tones: [[0, 0, .1], [12, .11, .16]] },
  "MORE": { says: "three steps up", tones: [[3, 0, .07], [5, .08, .07], [7, .16, .1]] },
  "SLOW": { says: "three steps down", tones: [[7, 0, .07], [5, .08, .07], [3, .16, .1]] },
  "STEADY": { says: "up and down again", tones: [[4, 0, .07], [7, .08, .07], [4, .16, .1]] },
  "STOP": { says: "two high tones, short and loud", tones: [[14, 0, .09], [14, .13, .14]] },
  "WAIT": { says: "a leap down", tones: [[7, 0, .1], [-5, .11, .18]] },
  "DRAIN": { says: "a slow fall", tones: [[0, 0, .12], [-4, .13, .12], [-9, .26, .2]] },
  "DONE": { says: "a chord, one after another", tones: [[0, 0, .1], [4, .11, .1], [7, .22, .1], [12, .33, .22]] },
  "SCALE?": { says: "a low buzz, twice", tones: [[-17, 0, .14], [-17, .2, .14]] },
};
const POURING = new Set(["BLOOM", "POUR", "MORE", "SLOW", "STEADY"]);
const GLIDE_S = 0.08; // slow enough not to be a beep, quick enough to follow a hand
const REACH_G = 20;
const USUAL_FLOW_GPS = 5;

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

  hear(word, tile) {
    if (word !== this.word) {
      const first = this.word === null;
      this.word = word;
      if (!first && this.context !== null && !this.muted) {
        if (this.on) this.play(word);
        if (this.speech) this.say(word);
      }
    }
    this.follow(word, tile);
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

  follow(word, tile) {
    if (this.context === null) return;
    const now = this.context.currentTime;
    let semitones = null;
    if (tile !== null && POURING.has(word)) {
      if (this.pitch === "off-target" && tile.off_g !== null && Math.abs(tile.off_g) > (tile.band_g ?? 0)) {
        semitones = 12 * Math.min(1, Math.max(-1, tile.off_g / REACH_G));
      } else if (this.pitch === "flow" && tile.flow_gps !== null) {
        semitones = -12 + 12 * Math.min(2, Math.max(0, tile.flow_gps / USUAL_FLOW_GPS));
      }
    }
    this.droneGain.gain.setTargetAtTime(semitones === null ? 0 : 0.25, now, GLIDE_S);
    if (semitones !== null) this.drone.frequency.setTargetAtTime(note(semitones) / 2, now, GLIDE_S);
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
