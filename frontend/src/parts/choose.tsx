/** Choices as large fields to touch: one of them, or several. A real radio or check box inside. */
import { useId } from 'preact/hooks';

export interface Choice {
  value: string;
  label: string;
  note?: string | undefined;
}

interface Props {
  legend: string;
  choices: readonly Choice[];
  chosen: ReadonlySet<string>;
  onChoose: (value: string) => void;
  many?: boolean;
  small?: boolean;
}

export function Choose({ legend, choices, chosen, onChoose, many = false, small = false }: Props) {
  const name = useId();
  return (
    <fieldset class="choose">
      <legend>{legend}</legend>
      <div class={small ? 'choices choices-small' : 'choices'}>
        {choices.map((one) => (
          <label class="choice" key={one.value}>
            <input
              type={many ? 'checkbox' : 'radio'}
              name={name}
              checked={chosen.has(one.value)}
              onChange={() => onChoose(one.value)}
            />
            <span class="choice-label">{one.label}</span>
            {one.note && <span class="soft">{one.note}</span>}
          </label>
        ))}
      </div>
    </fieldset>
  );
}

/** The set with one value put in or taken out. */
export function toggled(set: ReadonlySet<string>, value: string): Set<string> {
  const next = new Set(set);
  if (!next.delete(value)) next.add(value);
  return next;
}
