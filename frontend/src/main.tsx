import { effect } from '@preact/signals';
import { render } from 'preact';
import { App } from './app';
import { settings } from './models/settings';
import { served } from './models/shop';
import { start } from './sync/beat';
import { keepWorkingOffline, lookForNewer } from './sync/worker';
import { speak } from './words/say';
import { zone } from './words/times';
import './styles/index.css';

const darkness = matchMedia('(prefers-color-scheme: dark)');

function showTheme(): void {
  const { theme } = settings.value;
  const shown = theme === 'auto' ? (darkness.matches ? 'dark' : 'light') : theme;
  document.documentElement.dataset.theme = shown;
}

effect(showTheme);
darkness.addEventListener('change', showTheme);
effect(() => {
  if (served.value) zone.value = served.value.workshop.zone;
});
effect(() => {
  if (served.value?.version) lookForNewer();
});
effect(() => {
  const wanted = settings.value.language || navigator.language.slice(0, 2);
  void speak(wanted).then((spoken) => (document.documentElement.lang = spoken));
});

render(<App />, document.getElementById('app')!);
void start();
void keepWorkingOffline();
void navigator.storage?.persist?.();
