/** After ten hours: start nothing that cannot wait. Once a day, and it can be off. */
import { cautionKey, readToday } from '../models/cautions';
import { minute } from '../models/clock';
import { isLongDay } from '../models/long-day';
import { settings } from '../models/settings';
import { Cautions } from './caution';

export function Late() {
  if (!settings.value.late || !isLongDay(minute.value)) return null;
  if (readToday(cautionKey('tired', 'day'))) return null;
  return <Cautions keys={['tired']} container="day" />;
}
