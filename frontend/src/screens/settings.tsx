/** Light or dark, measures, voice; for an owner, more phones. */
import { useSignal } from '@preact/signals';
import { set, settings, type Theme } from '../models/settings';
import { isOwner } from '../models/shop';
import { Choose } from '../parts/choose';
import { LinkRow } from '../parts/link-row';
import { allowSound, hasVoice } from '../parts/voice';
import { language, LANGUAGES, say, type Key } from '../words/say';
import { AnotherPhone, Phones } from './settings-phones';

const THEMES: Theme[] = ['auto', 'light', 'dark', 'sun'];
const MEASURES = {
  temperature: ['C', 'F'],
  length: ['mm', 'in'],
  weight: ['g', 'oz'],
  pressure: ['MPa', 'psi'],
  hours: ['auto', '24', '12'],
} as const;
type Measure = keyof typeof MEASURES;

export default function SettingsRoom() {
  const changed = useSignal(0);
  return (
    <main class="room" id="main">
      <h1 class="verb">{say('room.settings')}</h1>
      <LinkRow href="/ring" title={say('room.ring')} note={say('room.ring.asks')} />
      <LinkRow href="/hours" title={say('room.hours')} note={say('room.hours.asks')} />
      <Choose
        legend={say('set.theme')}
        chosen={new Set([settings.value.theme])}
        onChoose={(value) => set('theme', value as Theme)}
        choices={THEMES.map((one) => ({ value: one, label: say(`set.theme.${one}`) }))}
      />
      <Languages />
      <Sound />
      {(Object.keys(MEASURES) as Measure[]).map((measure) => (
        <Choose
          key={measure}
          legend={say(`set.${measure}`)}
          chosen={new Set([settings.value[measure]])}
          onChoose={(value) => set(measure, value as never)}
          choices={MEASURES[measure].map((one) => ({
            value: one,
            label: say(`set.${measure}.${one}` as Key),
          }))}
        />
      ))}
      <nav aria-label={say('set.kept')}>
        <h2 class="part-head">{say('set.kept')}</h2>
        <LinkRow href="/backups" title={say('room.backups')} note={say('room.backups.asks')} />
        {isOwner.value && (
          <LinkRow href="/outside" title={say('room.outside')} note={say('room.outside.asks')} />
        )}
        <LinkRow href="/people" title={say('room.people')} note={say('room.people.asks')} />
        <LinkRow href="/calendar" title={say('room.calendar')} note={say('room.calendar.asks')} />
      </nav>
      {isOwner.value && (
        <>
          <AnotherPhone onMade={() => (changed.value += 1)} />
          <Phones changed={changed} />
        </>
      )}
    </main>
  );
}

/** Nothing to choose while the app speaks one language. */
function Languages() {
  const languages = Object.entries(LANGUAGES);
  if (languages.length < 2) return null;
  return (
    <Choose
      legend={say('set.language')}
      chosen={new Set([language.value])}
      onChoose={(value) => set('language', value)}
      choices={languages.map(([value, { name }]) => ({ value, label: name }))}
    />
  );
}

function Sound() {
  const { bell, late, voice } = settings.value;
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
        legend={say('set.late')}
        chosen={new Set([late ? 'on' : 'off'])}
        onChoose={(value) => set('late', value === 'on')}
        choices={[
          { value: 'on', label: say('set.late.on') },
          { value: 'off', label: say('set.late.off') },
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
