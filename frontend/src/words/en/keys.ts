/** What is kept and taken away, and who comes in: backups, the outside password, people, calendars. */
export default {
  'surely.type': 'Type “{name}” to go on',
  'surely.leave': 'Leave it as it is',

  'set.kept': 'What is kept, and who comes in',

  'room.backups': 'Is it all kept?',
  'room.backups.asks': 'When was the last backup, where does it lie, how does it come back?',
  'backup.newest': 'Last kept {at}.',
  'backup.never': 'No night was kept.',
  'backup.none': 'No night yet. The first is kept at half past two.',
  'backup.nightly_note':
    'Every night at half past two all of it goes into one file: seven nights stay, one of each of four weeks and of twelve months. On the same disk that is no backup yet: take one away now and then.',
  'backup.wrong.disk_low': 'The disk fills up: {free} are free. Make room, or no night will be kept.',
  'backup.wrong.none_yet': 'One should have been by now. Is the machine on at night, and does anything run on it?',
  'backup.wrong.old': 'At least one night was missed since. Is the machine on at night?',
  'backup.wrong.failed': 'The last try failed; the next is within the hour. {why}',
  'backup.now': 'Make one now',
  'backup.now_note': 'Takes seconds, or minutes with many pictures. The newest three that were asked for stay.',
  'backup.owner': 'The owner makes them and takes them away.',
  'backup.files': 'Those there are',
  'backup.folder': 'They lie on the shed’s machine, in',
  'backup.danger':
    'A file holds everything that was ever told here, names and pictures too, and opens for anybody who has it. Keep it as you keep the key of the shop.',
  'backup.take': 'Take away: {at}',
  'backup.by_night': '{size}, made by night',
  'backup.asked': '{size}, asked for',
  'backup.kb': '{kb} kB',
  'backup.mb': '{mb} MB',
  'backup.back': 'Bringing it back',
  'backup.back_how':
    'Not from a phone: at the machine, by command, with the file there, where nothing of this workshop is yet. With the name of your file:',
  'backup.back_does':
    'All of it comes back or nothing does. What was told after the backup is gone. Phones go on as before, and ask again whether they may ring; mail addresses, other ways to be told and the broker’s password have to be typed again.',

  'room.outside': 'Who gets in from outside?',
  'room.outside.asks': 'By which name, and when was the password last used?',
  'outside.owner': 'The owner says who gets in from outside.',
  'outside.shut':
    'This server is not open to the outside, so nobody signs in by a password. Whoever keeps the machine opens it, by the setting',
  'outside.set': 'By the name “{name}”, set {at}.',
  'outside.unset': 'No password is set: nobody does.',
  'outside.used': 'Last used {at}, from {from}.',
  'outside.unused': 'Not used yet.',
  'outside.refused': 'Last turned away at this name {at}, from {from}.',
  'outside.make': 'Set a password',
  'outside.change': 'Change it',
  'outside.danger':
    'Whoever knows name and password opens the shop from anywhere, for a week each time, as its owner. Twelve characters at least: a few words that nobody would guess, used nowhere else. The one before opens nothing from then on.',
  'outside.name': 'Name to sign in by',
  'outside.password': 'Password',
  'outside.again': 'The same once more',
  'outside.differ': 'The two passwords differ. Type the same twice.',
  'outside.set_it': 'Set it',
  'outside.change_it': 'Change it',
  'outside.drop': 'Take it away',
  'outside.drop_does':
    'From now on nobody gets in as “{name}” from outside, you neither. Phones that it let in stay until their week is over.',
  'outside.phones_note': 'which are in, and how to send one away',

  'signin.head': 'I am the owner, outside',
  'signin.note':
    'By the name and password that were set on a paired phone. It is let in for a week; not on a phone that others use.',
  'signin.go': 'Let me in',
  'signin.shut': 'This server is not open to the outside. Open a pairing link in the shop.',

  'room.people': 'What is kept of whom?',
  'room.people.asks': 'Take it away, or have somebody forgotten',
  'people.all': 'Everybody who belongs to the shop. Each sees their own; the owner sees all.',
  'people.own': 'What is kept of you here.',
  'people.me': '{role}, you',
  'people.phones.one': '{count} phone',
  'people.phones.other': '{count} phones',
  'people.told.one': '{count} thing told',
  'people.told.other': '{count} things told',
  'people.rags.one': '{count} word on rags',
  'people.rags.other': '{count} words on rags',
  'people.take': 'Take away all of {name}',
  'people.take_note': 'one file, every row that names them; no keys in it',
  'people.last_owner': 'The only owner cannot be forgotten: make somebody else an owner first.',
  'people.forget': 'Forget',
  'people.goes':
    'The name, phones, ways to be told, calendar addresses, password and sign-ins of {name} go at once. Nothing brings them back.',
  'people.stays.one': 'The {count} thing they told stays, as told by “somebody who left”: waits hang on it.',
  'people.stays.other': 'The {count} things they told stay, as told by “somebody who left”: waits hang on them.',
  'people.rags_stay.one':
    'Where oily rags were put stays too, {count} time, without the name: after a fire it is asked for.',
  'people.rags_stay.other':
    'Where oily rags were put stays too, {count} times, without the name: after a fire it is asked for.',
  'people.papers': 'Backups and papers made before still name them.',
  'people.this_phone': 'This is you: this phone is shut out as well.',

  'room.calendar': 'In my own calendar?',
  'room.calendar.asks': 'The address to subscribe to, and who else has one',
  'calendar.how':
    'A calendar that subscribes to an address shows what opens and closes, and looks again by itself. It may be late by hours and rings for nothing: what can hurt is answered here.',
  'calendar.none': 'No calendar has an address yet.',
  'calendar.of': '{person}, since {at}',
  'calendar.address': 'Address for “{name}”',
  'calendar.once':
    'Shown this once. In the calendar choose to subscribe by address, and give it this one. A calendar that lives at a provider has to reach this machine from outside.',
  'calendar.copy': 'Copy it',
  'calendar.anew': 'Make it anew',
  'calendar.anew_does':
    'The address it has now is dead at once, in every calendar. The new one is shown once.',
  'calendar.off': 'Switch it off',
  'calendar.off_does': 'Its address is dead at once, in every calendar that has it.',
  'calendar.new': 'One more calendar',
  'calendar.danger':
    'Whoever has the address reads what waits and when you are needed, without a key. One for each calendar, so that one can be switched off.',
  'calendar.name': 'Which calendar is it for?',
  'calendar.make': 'Make the address',
};
