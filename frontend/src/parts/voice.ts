/** Says it aloud; where there is no voice, a tone that is told apart by how often it sounds. */
import { language } from '../words/say';

let tones: AudioContext | undefined;

export function hasVoice(): boolean {
  return typeof speechSynthesis !== 'undefined' && speechSynthesis.getVoices().length > 0;
}

export function sayAloud(text: string, times: number): void {
  navigator.vibrate?.(Array.from({ length: times * 2 - 1 }, (_, i) => (i % 2 ? 150 : 300)));
  if (!hasVoice()) {
    sound(times);
    return;
  }
  const spoken = new SpeechSynthesisUtterance(text);
  spoken.lang = language.value;
  spoken.rate = 0.95;
  speechSynthesis.speak(spoken);
}

/** A browser lets a page sound only after a touch: called from one. */
export function allowSound(): void {
  if (typeof AudioContext === 'undefined') return;
  tones ??= new AudioContext();
  void tones.resume();
}

function sound(times: number): void {
  if (!tones) return;
  for (let i = 0; i < times; i += 1) {
    const from_s = tones.currentTime + i * 0.45;
    const [source, volume] = [tones.createOscillator(), tones.createGain()];
    source.frequency.value = 880;
    volume.gain.setValueAtTime(0.25, from_s);
    volume.gain.exponentialRampToValueAtTime(0.001, from_s + 0.35);
    source.connect(volume).connect(tones.destination);
    source.start(from_s);
    source.stop(from_s + 0.4);
  }
}
