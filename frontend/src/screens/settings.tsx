/** Light or dark, degrees, voice; for an owner, more phones. */
import { useSignal } from '@preact/signals';
import { set, settings, type Theme } from '../models/settings';
import { isOwner } from '../models/shop';
import { Choose } from '../parts/choose';
import { allowSound, hasVoice } from '../parts/voice';
import { say } from '../words/say';
import { AnotherPhone, Phones } from './settings-phones';

const THEMES: Theme[] = ['auto', 'light', 'dark', 'sun'];

export function SettingsRoom() {
  const { theme, temperature } = settings.value;
  const changed = useSignal(0);
  return (
    <main class="room" id="main">
      <h1 class="verb">{say('room.settings')}</h1>
      <Choose
        legend={say('set.theme')}
        chosen={new Set([theme])}
        onChoose={(value) => set('theme', value as Theme)}
        choices={THEMES.map((one) => ({ value: one, label: say(`set.theme.${one}`) }))}
      />
      <Choose
        legend={say('set.degrees')}
        chosen={new Set([temperature])}
        onChoose={(value) => set('temperature', value as 'C' | 'F')}
        choices={[
          { value: 'C', label: say('set.celsius') },
          { value: 'F', label: say('set.fahrenheit') },
        ]}
      />
      <Sound />
      {isOwner.value && (
        <>
          <AnotherPhone onMade={() => (changed.value += 1)} />
          <Phones changed={changed} />
        </>
      )}
    </main>
  );
}

function Sound() {
  const { bell, voice } = settings.value;
  const note = hasVoice() ? undefined : say('set.voice_missing');
  const ring = (value: string) => {
    allowSound();
    set('bell', value === 'on');
  };
  return (
    <>
      <Choose
        legend={say('set.voice')}
        chosen={new Set([voice ? 'on' : 'off'])}
        onChoose={(value) => set('voice', value === 'on')}
        choices={[
          { value: 'on', label: say('set.voice.on'), note },
          { value: 'off', label: say('set.voice.off') },
        ]}
      />
      <Choose
        legend={say('set.bell')}
        chosen={new Set([bell ? 'on' : 'off'])}
        onChoose={ring}
        choices={[
          { value: 'off', label: say('set.bell.off') },
          { value: 'on', label: say('set.bell.on'), note: say('set.bell.note') },
        ]}
      />
    </>
  );
}
