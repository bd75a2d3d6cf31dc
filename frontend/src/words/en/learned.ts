export default {
  'learned.head': 'Learned here',
  'learned.here.one': '{gate}, {where}: label {label} h, here {need} h, from {count} check',
  'learned.here.other': '{gate}, {where}: label {label} h, here {need} h, from {count} checks',
  'learned.stands.one': '{gate}, {where}: the label’s {label} h stand, after {count} check',
  'learned.stands.other': '{gate}, {where}: the label’s {label} h stand, after {count} checks',
  'learned.coat': '{place}, coat {number}',
  'learned.margin': 'margin {percent} %',
  'learned.why.one': 'Label {label} h, here {need} h, from {count} check before this began:',
  'learned.why.other': 'Label {label} h, here {need} h, from {count} checks before this began:',
  'learned.look.both': '{name}: not yet at {after} h, ready at {until} h, {at}',
  'learned.look.ready': '{name}: ready at {until} h, {at}',
  'learned.look.not_yet': '{name}: not yet at {after} h, {at}',
};
