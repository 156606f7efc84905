// Writes one line of the sheet: its members in order, and the checksum that tells whether it came home whole.
"use strict";
const sitebook = {};
document.documentElement.classList.add("scripted");
(() => {
  sitebook.data = JSON.parse(document.getElementById("page-data").textContent);

  const bytesOf = (text) => {
    const plain = unescape(encodeURIComponent(text));
    return Uint8Array.from(plain, (sign) => sign.charCodeAt(0));
  };

  // Fractional bits of the roots of the first primes, as FIPS 180-4 defines its constants.
  const fraction = (value) => Math.floor((value - Math.floor(value)) * 4294967296) >>> 0;
  const primes = [];
  for (let n = 2; primes.length < 64; n += 1) if (primes.every((p) => n % p)) primes.push(n);
  const ROUNDS = primes.map((p) => fraction(Math.cbrt(p)));
  const START = primes.slice(0, 8).map((p) => fraction(Math.sqrt(p)));
  const turned = (word, by) => (word >>> by) | (word << (32 - by));

  const padded = (bytes) => {
    const size = ((bytes.length + 8) >> 6) + 1;
    const words = new Uint32Array(size * 16);
    bytes.forEach((byte, i) => (words[i >> 2] |= byte << (24 - 8 * (i & 3))));
    words[bytes.length >> 2] |= 0x80 << (24 - 8 * (bytes.length & 3));
    words[size * 16 - 2] = Math.floor(bytes.length / 536870912);
    words[size * 16 - 1] = bytes.length << 3;
    return words;
  };

  const block = (state, words) => {
    const w = new Uint32Array(64);
    w.set(words);
    for (let i = 16; i < 64; i += 1) {
      const s0 = turned(w[i - 15], 7) ^ turned(w[i - 15], 18) ^ (w[i - 15] >>> 3);
      const s1 = turned(w[i - 2], 17) ^ turned(w[i - 2], 19) ^ (w[i - 2] >>> 10);
      w[i] = w[i - 16] + s0 + w[i - 7] + s1;
    }
    let [a, b, c, d, e, f, g, h] = state;
    for (let i = 0; i < 64; i += 1) {
      const s1 = turned(e, 6) ^ turned(e, 11) ^ turned(e, 25);
      const one = (h + s1 + ((e & f) ^ (~e & g)) + ROUNDS[i] + w[i]) | 0;
      const s0 = turned(a, 2) ^ turned(a, 13) ^ turned(a, 22);
      const two = (s0 + ((a & b) ^ (a & c) ^ (b & c))) | 0;
      [h, g, f, e, d, c, b, a] = [g, f, e, (d + one) | 0, c, b, a, (one + two) | 0];
    }
    return [a, b, c, d, e, f, g, h].map((word, i) => (word + state[i]) >>> 0);
  };

  sitebook.sha256 = (text) => {
    const words = padded(bytesOf(text));
    let state = START;
    for (let at = 0; at < words.length; at += 16) state = block(state, words.subarray(at, at + 16));
    return state.map((word) => word.toString(16).padStart(8, "0")).join("");
  };

  // The checksum covers the line as it stands without it, so no program need write numbers alike.
  sitebook.lineOf = (members) => {
    const text = JSON.stringify(members);
    return `${text.slice(0, -1)},"sum":"${sitebook.sha256(text).slice(0, 16)}"}`;
  };

  const randomBytes = (count) => {
    const bytes = new Uint8Array(count);
    if (window.crypto && crypto.getRandomValues) return crypto.getRandomValues(bytes);
    return bytes.map(() => Math.floor(Math.random() * 256));
  };
  const hex = (bytes) => Array.from(bytes, (byte) => byte.toString(16).padStart(2, "0")).join("");

  sitebook.newPad = () => hex(randomBytes(4));
  sitebook.newUuid = () => {
    const bytes = randomBytes(16);
    bytes[6] = (bytes[6] & 0x0f) | 0x40;
    bytes[8] = (bytes[8] & 0x3f) | 0x80;
    return hex(bytes).replace(/^(.{8})(.{4})(.{4})(.{4})(.{12})$/, "$1-$2-$3-$4-$5");
  };
})();
