/** How a file would be read: its first rows, what the guess rests on, and each part of it to be changed. */
import { useSignal } from '@preact/signals';
import { columnsOf, ORDERS, REPEATED, SEPARATORS, type Look, type Shape } from '../models/logger';
import { minute } from '../models/clock';
import { temp } from '../units/temperature';
import { count, isKey, say, word } from '../words/say';
import { number, when } from '../words/times';
import { Choose } from './choose';
import { Field } from './field';
import { Sign } from './sign';

interface Props {
  look: Look;
  said: ReadonlySet<string>;
  onChange: (more: Partial<Shape>) => void;
}

const NAMES: Record<string, string> = { ';': 'semicolon', ',': 'comma', '\t': 'tab', '|': 'bar' };

export function FileLook({ look, said, onChange }: Props) {
  const now = minute.value;
  return (
    <>
      <h3 class="line-name">{look.file.name || say('logger.unnamed')}</h3>
      <p>
        {count('logger.rows', look.rows)}
        {look.first_at && look.last_at && (
          <>
            , {when(look.first_at, now)} – {when(look.last_at, now)}
          </>
        )}
      </p>
      {look.bad > 0 && (
        <p class="line-when">
          <Sign kind="heed" />
          <span>{count('logger.bad', look.bad)}</span>
        </p>
      )}
      {look.faults.slice(0, 3).map((one) => (
        <p class="soft" key={one.row}>
          {say('logger.fault', { row: one.row, wrong: one.wrong, mend: one.mend })}
        </p>
      ))}
      <h4 class="part-head">{say('logger.as_read')}</h4>
      <div class="sum">
        <table>
          <thead>
            <tr>
              <th scope="col">{say('logger.at')}</th>
              <th scope="col">{say('logger.temp')}</th>
              <th scope="col">{say('logger.rh')}</th>
            </tr>
          </thead>
          <tbody>
            {look.first.map((one) => (
              <tr key={one.row}>
                <td>{when(one.at, now)}</td>
                <td>{temp(one.temp_c)}</td>
                <td>{one.rh_pct === null ? '–' : number(one.rh_pct, 0)}</td>
              </tr>
            ))}
          </tbody>
        </table>
      </div>
      <details>
        <summary class="quiet">{say('logger.lines')}</summary>
        <pre class="address" tabIndex={0}>
          {look.lines.join('\n')}
        </pre>
      </details>
      <Rests look={look} />
      {look.asked.map((name) => (
        <Asked key={name} name={name} look={look} said={said} onChange={onChange} />
      ))}
      <details>
        <summary class="quiet">{say('logger.change')}</summary>
        <Change look={look} onChange={onChange} />
      </details>
    </>
  );
}

/** What each part of the guess rests on: nothing is guessed in silence. */
function Rests({ look }: { look: Look }) {
  const { shape, why } = look;
  const told: Record<string, string> = {
    order: word(`logger.order.${shape.order}`),
    fahrenheit: say(shape.fahrenheit ? 'set.temperature.F' : 'set.temperature.C'),
    zone: shape.zone === 'told' ? say('logger.zone_told') : shape.zone,
  };
  return (
    <ul class="also">
      {Object.entries(told).map(([name, value]) => (
        <li key={name}>
          <b>{word(`logger.part.${name}`)}</b>
          <span>
            {value} {why[name] && <span class="soft">{word(`logger.why.${why[name]}`)}</span>}
          </span>
        </li>
      ))}
    </ul>
  );
}

interface AskedProps extends Props {
  name: string;
}

function Asked({ name, look, said, onChange }: AskedProps) {
  const values = name === 'repeated' ? REPEATED : ORDERS;
  const chosen = said.has(name) ? look.shape[name as 'order'] : '';
  return (
    <div class="notice notice-heed">
      <Choose
        legend={word(`logger.ask.${name}`)}
        chosen={new Set([chosen])}
        onChoose={(value) => onChange({ [name]: value })}
        choices={values.map((value) => ({ value, label: word(`logger.${name}.${value}`) }))}
      />
    </div>
  );
}

function Change({ look, onChange }: { look: Look; onChange: Props['onChange'] }) {
  const { shape } = look;
  const columns = columnsOf(look, (at) => say('logger.column', { at }));
  const zone = useSignal(shape.zone);
  const first = useSignal(String(shape.first_row + 1));
  const of_columns = columns.map((label, at) => ({ value: String(at), label }));
  const none = { value: '', label: say('logger.no_column') };
  const column = (name: 'at' | 'temp' | 'clock' | 'rh', needed: boolean) => (
    <Choose
      key={name}
      legend={say(`logger.column.${name}`)}
      chosen={new Set([shape[name] === null ? '' : String(shape[name])])}
      onChoose={(value) => onChange({ [name]: value === '' ? null : Number(value) })}
      choices={needed ? of_columns : [none, ...of_columns]}
    />
  );
  const typed = (event: Event) => {
    event.preventDefault();
    onChange({ zone: zone.value.trim(), first_row: Math.max(0, Number(first.value) - 1 || 0) });
  };
  return (
    <div class="stack unfolded">
      {column('at', true)}
      {column('clock', false)}
      {column('temp', true)}
      {column('rh', false)}
      <Choose
        legend={say('logger.part.order')}
        chosen={new Set([shape.order])}
        onChoose={(order) => onChange({ order })}
        choices={ORDERS.map((value) => ({ value, label: say(`logger.order.${value}`) }))}
      />
      <Choose
        legend={say('logger.part.fahrenheit')}
        chosen={new Set([shape.fahrenheit ? 'F' : 'C'])}
        onChoose={(unit) => onChange({ fahrenheit: unit === 'F' })}
        choices={(['C', 'F'] as const).map((value) => ({
          value,
          label: say(`set.temperature.${value}`),
        }))}
      />
      <Choose
        legend={say('logger.separator')}
        chosen={new Set([shape.separator])}
        onChoose={(separator) => onChange({ separator })}
        choices={SEPARATORS.map((value) => ({
          value,
          label: word(`logger.separator.${NAMES[value]}`),
        }))}
      />
      <Choose
        legend={say('logger.decimal')}
        chosen={new Set([shape.decimal])}
        onChoose={(decimal) => onChange({ decimal })}
        choices={['.', ','].map((value) => ({ value, label: `12${value}5` }))}
      />
      <form class="stack" onSubmit={typed}>
        <Field label={say('logger.zone')} value={zone} most={60} />
        <Field label={say('logger.first_row')} value={first} mode="numeric" most={6} />
        <button type="submit" class="quiet">
          {say('logger.look_again')}
        </button>
      </form>
      {isKey(`logger.repeated.${shape.repeated}`) && (
        <p>
          {say('logger.part.repeated')}: {word(`logger.repeated.${shape.repeated}`)}
        </p>
      )}
    </div>
  );
}
