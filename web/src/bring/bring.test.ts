import { expect, it } from 'vitest';
import type { ReadColumn, Reading, RecordingBrief } from '../shared/api/types';
import { merged } from './arrivals';
import { channels, channelWords, unitsOf, unitWritten } from './channels';
import { chosen, isNoRecording, MOST, refusedAtOnce, sorted } from './files';
import { firstLines, headText, samples } from './head';
import { choicesOf, contradictions, entriesOf, isChanged, proposedName, toLookAt } from './mapping';
import {
  carries,
  formatWords,
  listed,
  lossWords,
  mayHaveTime,
  placeWords,
  rangeWords,
  rowsWords,
  spanWords,
  wasUnread,
} from './understood';
import { changeOf, DEMONSTRATION, openGuesses } from './who';

const column = (number: number, name: string, more: Partial<ReadColumn> = {}): ReadColumn => ({
  number,
  name,
  taken_for: 'other',
  unit: '',
  unit_origin: '',
  chosen: false,
  because: '',
  confidence: 1,
  low: null,
  high: null,
  ...more,
});

const reading = (more: Partial<Reading> = {}): Reading => ({
  container: 'plain',
  format: 'table',
  header_signature: 'f00',
  time: {
    how: 'date and time with offset',
    start_utc: '2025-09-04T23:58:30Z',
    length_s: 1346.9,
    interval_s: 0.1,
    confidence: 1,
  },
  columns: [],
  rows_kept: 13470,
  rows_lost: 0,
  gaps: [],
  notes: [],
  notes_dropped: 0,
  map: null,
  flights: 1,
  unsure: false,
  ...more,
});

const clock = column(1, 'UTC', { taken_for: 'time' });
const speed = column(2, 'Speed', {
  taken_for: 'ground_speed',
  unit: 'kt',
  unit_origin: 'by the numbers',
  chosen: true,
  confidence: 0.4,
});
const pitch = column(3, 'Nick', { taken_for: 'pitch', unit: 'deg', unit_origin: 'written', chosen: true });
const spare = column(4, 'Aux', { low: 0, high: 9 });

// Understood

it('prop_what_a_recorder_carries_and_lacks_are_told_apart', () => {
  const { has, lacks } = carries(
    reading({ columns: [clock, pitch, column(5, 'IAS', { taken_for: 'airspeed_indicated', chosen: true })] }),
  );
  expect(has).toEqual(['air data', 'attitude']);
  expect(lacks).toContain('flaps');
  // A second column for a quantity, not the one that is used, adds nothing.
  expect(carries(reading({ columns: [column(1, 'x', { taken_for: 'flap' })] })).has).toEqual([]);
});

it('prop_a_flight_over_midnight_ends_on_the_next_day_by_the_clock', () => {
  expect(spanWords(reading())).toBe('4\u00a0September 2025, 23:58:30–00:20:56\u00a0UTC, 22\u00a0min');
  expect(spanWords(reading({ time: { ...reading().time, start_utc: '' } }))).toContain(
    'does not tell the date',
  );
});

it('prop_rows_rate_and_losses_carry_their_units', () => {
  expect(rowsWords(reading())).toBe('13,470 rows, 10 a second');
  expect(rowsWords(reading({ time: { ...reading().time, interval_s: 1 } }))).toBe(
    '13,470 rows, one every 1\u00a0s',
  );
  expect(rowsWords(reading({ time: { ...reading().time, interval_s: 0 } }))).toBe('13,470 rows');
  expect(
    lossWords(
      reading({
        rows_lost: 3,
        gaps: [
          [10, 70],
          [100, 103],
        ],
      }),
    ),
  ).toBe('three\u00a0rows left out; two\u00a0holes, the longest 1\u00a0min');
  expect(lossWords(reading())).toBe('');
});

it('prop_places_are_named_only_where_there_is_one', () => {
  expect(placeWords({ line: 4182, column: 3 })).toBe('line 4,182, column 3');
  expect(placeWords({ line: 7, column: 0 })).toBe('line 7');
  expect(placeWords({ line: 0, column: 0 })).toBe('');
});

it('prop_a_range_has_the_decimals_that_tell_its_ends_apart', () => {
  expect(rangeWords({ ...speed, low: 38.21, high: 121.4 })).toBe('38 to 121\u00a0kt');
  expect(rangeWords({ ...spare, low: 28.8548, high: 28.9012, unit: 'deg' })).toBe(
    '28.855 to 28.901\u00a0deg',
  );
  expect(rangeWords({ ...spare, low: 0, high: 0 })).toBe('always 0');
  expect(rangeWords({ ...spare, low: null })).toBe('');
});

it('prop_how_it_was_packed_is_told', () => {
  expect(formatWords(reading({ container: 'gzip' }))).toBe('Table, packed with gzip');
  expect(formatWords(reading({ container: 'zip (member a/b.csv)' }))).toBe('Table, a/b.csv in a zip');
  expect(formatWords(reading({ format: 'GPX 1.1' }))).toBe('GPX 1.1');
  expect(listed(['a', 'b', 'c'])).toBe('a, b and c');
});

it('prop_a_file_without_a_table_is_unread_and_one_without_time_can_be_mended', () => {
  const none = reading({ rows_kept: 0, columns: [], format: '', unsure: true });
  const why = (done: string) => ({ ...none, notes: [{ line: 0, column: 0, what: '', done }] });
  expect(wasUnread(none)).toBe(true);
  expect(wasUnread(reading({ columns: [clock] }))).toBe(false);
  expect(mayHaveTime(why('nothing could be read; export it as CSV'))).toBe(false);
  expect(mayHaveTime(why('export with a time column, or say below which column is the time'))).toBe(true);
});

// Channels: the ids of docs/recordings.md, "Corrections".

it('val_every_channel_of_the_documents_can_be_chosen', () => {
  const documented =
    'latitude longitude altitude_indicated altitude_pressure altitude_gnss altimeter_setting airspeed_indicated airspeed_calibrated airspeed_true ground_speed vertical_speed pitch bank heading_magnetic heading_true track_true track_magnetic pitch_rate roll_rate yaw_rate angle_of_attack sideslip stall_warning load_normal load_lateral load_longitudinal flap gear elevator aileron rudder pitch_trim throttle engine_speed manifold_pressure fuel_flow power_share outside_air_temperature wind_speed wind_direction_from magnetic_variation fix_quality';
  const ids = channels.map((each) => each.id);
  expect(new Set(ids)).toEqual(new Set(['time', ...documented.split(' ')]));
  expect(ids.length).toBe(new Set(ids).size);
  for (const each of channels) {
    expect(channelWords(each.id), each.id).not.toContain('_');
    if (each.id !== 'fix_quality') expect(unitsOf(each.id).length, each.id).toBeGreaterThan(0);
  }
  expect(unitWritten('fpm')).toBe('ft/min');
});

// Mapping

it('prop_confirming_as_it_stands_sends_nothing', () => {
  const as = reading({ columns: [clock, speed, pitch, spare] });
  expect(choicesOf(as).some(isChanged)).toBe(false);
  expect(entriesOf(choicesOf(as), as)).toEqual([]);
  expect(contradictions(choicesOf(as))).toEqual([]);
});

it('prop_only_what_was_changed_is_sent_by_name', () => {
  const as = reading({ columns: [clock, speed, pitch, spare] });
  const choices = choicesOf(as).map((choice) =>
    choice.column === speed ? { ...choice, channel: 'airspeed_indicated', unit: 'kt' } : choice,
  );
  expect(entriesOf(choices, as)).toEqual([{ channel: 'airspeed_indicated', column: 'Speed', unit: 'kt' }]);
  const unused = choicesOf(as).map((choice) =>
    choice.column === pitch ? { ...choice, channel: 'ignore', unit: 'deg' } : choice,
  );
  expect(entriesOf(unused, as)).toEqual([{ channel: 'ignore', column: 'Nick', unit: null }]);
});

it('prop_columns_of_one_name_are_named_by_number', () => {
  const twin = column(9, ' speed ');
  const as = reading({ columns: [clock, speed, twin, column(10, '')] });
  const choices = choicesOf(as).map((choice) =>
    choice.column.number >= 9 ? { ...choice, channel: 'bank', unit: '' } : choice,
  );
  expect(entriesOf(choices, as).map((entry) => entry.column)).toEqual(['#9', '#10']);
});

it('prop_what_an_earlier_map_decided_is_sent_again', () => {
  const mapped = { ...speed, because: 'given by the map' };
  const as = reading({ columns: [clock, mapped, pitch, spare], map: 'club tablet' });
  expect(entriesOf(choicesOf(as), as)).toEqual([
    { channel: 'ground_speed', column: 'Speed', unit: 'kt' },
    // Left out by the map or never used: the reading does not tell, so it stays out.
    { channel: 'ignore', column: 'Aux', unit: null },
  ]);
});

it('prop_two_times_or_none_cannot_stand', () => {
  const as = reading({ columns: [clock, speed, pitch] });
  const all = (channel: string) => choicesOf(as).map((choice) => ({ ...choice, channel }));
  expect(contradictions(all('time'))).toHaveLength(1);
  expect(contradictions(all('bank'))).toHaveLength(1);
});

it('prop_the_unsure_come_first_and_the_time_with_them', () => {
  expect(toLookAt(reading({ columns: [clock, speed, pitch, spare] }))).toEqual(new Set([2]));
  const doubtful = reading({ columns: [clock, pitch], time: { ...reading().time, confidence: 0.3 } });
  expect(toLookAt(doubtful)).toEqual(new Set([1]));
});

it('prop_a_proposed_name_has_no_date_of_one_flight', () => {
  expect(proposedName(reading(), '2026-06-03-tablet.csv.gz')).toBe('tablet');
  expect(proposedName(reading(), '20260603.csv')).toBe('20260603');
  expect(proposedName(reading({ map: 'club tablet' }), 'x.csv')).toBe('club tablet');
});

// Files

const file = (name: string, bytes = 10) => new File([new Uint8Array(bytes)], name);

it('prop_only_a_folder_leaves_files_out', () => {
  const all = ['log.csv', '.DS_Store', 'photo.JPG', 'flight.gpx', 'READ'].map((name) => file(name));
  const inside = sorted(all.map((each) => ({ file: each, inFolder: true })));
  expect(inside.files.map((each) => each.name)).toEqual(['log.csv', 'flight.gpx', 'READ']);
  expect(inside.leftOut).toHaveLength(2);
  expect(chosen(all).files).toHaveLength(5);
  expect(isNoRecording('flight.csv.gz') || isNoRecording('day.zip') || isNoRecording('x.txt')).toBe(false);
});

it('prop_more_than_the_most_is_told', () => {
  const many = Array.from({ length: MOST + 1 }, (_, index) => file(`${String(index)}.csv`));
  const found = chosen(many);
  expect(found.files).toHaveLength(MOST);
  expect(found.tooMany).toBe(true);
});

it('prop_empty_and_huge_files_are_refused_before_they_are_sent', () => {
  expect(refusedAtOnce({ name: 'a.csv', size: 0 })?.message).toContain('empty');
  expect(refusedAtOnce({ name: 'a.csv', size: 513 * 1024 * 1024 })?.message).toContain('512 MB');
  expect(refusedAtOnce({ name: 'a.csv', size: 1 })).toBeNull();
});

// The beginning of a file

const text =
  '# Recorder: x\nTime, IAS (kt) ,Pitch\n12:00:00, 60,1.0\n12:00:01, 61,1.5\n12:00:02, 62,\n12:00:03, 6';

it('prop_values_stand_beside_their_own_column_or_not_at_all', () => {
  const found = samples(text, [
    { number: 1, name: 'Time' },
    { number: 2, name: 'IAS' },
    { number: 3, name: 'Pitch' },
  ]);
  expect(found.get(2)).toEqual(['60', '61', '62']);
  expect(found.get(3)).toEqual(['1.0', '1.5']);
  // The last line is cut and shows nothing; other names fit no line.
  expect([...found.values()].flat()).not.toContain('6');
  expect(
    samples(text, [
      { number: 1, name: 'Zeit' },
      { number: 2, name: 'Höhe' },
    ]).size,
  ).toBe(0);
});

it('prop_text_is_shown_however_it_is_packed_or_encoded', async () => {
  const bytes = (of: Uint8Array) =>
    of.buffer.slice(of.byteOffset, of.byteOffset + of.byteLength) as ArrayBuffer;
  const plain = new TextEncoder().encode(text);
  expect(await headText(bytes(plain))).toBe(text);
  const packed = new Uint8Array(
    await new Response(new Blob([plain]).stream().pipeThrough(new CompressionStream('gzip'))).arrayBuffer(),
  );
  expect(await headText(bytes(packed))).toBe(text);
  // A packed file that was cut still shows its beginning, or nothing; it never throws.
  expect(await headText(bytes(packed.subarray(0, packed.length - 12)))).not.toBe(undefined);
  expect(await headText(bytes(new Uint8Array([0xff, 0xfe, 0x41, 0, 0x42, 0])))).toBe('AB');
  expect(await headText(bytes(new Uint8Array([0x48, 0xf6, 0x68, 0x65])))).toBe('Höhe');
  expect(await headText(bytes(new Uint8Array([0x50, 0x4b, 3, 4])))).toBeNull();
  expect(await headText(bytes(new Uint8Array([1, 0, 2])))).toBeNull();
  expect(firstLines('a\r\nb\rc\nd', 3)).toEqual(['a', 'b', 'c']);
});

// Who flew

const person = (id: string) => ({ id, name: id, role: 'student' as const });
const lesson = {
  guessed: ['student', 'instructor', 'aircraft'],
  demonstration: false,
  student: person('sam'),
  instructor: person('kim'),
  aircraft_id: 'a',
};
const as = { student: 'sam', instructor: 'kim', aircraft: 'a' };

it('prop_confirming_says_every_guess_and_nothing_else', () => {
  expect(openGuesses(lesson)).toEqual(['student', 'instructor', 'aircraft']);
  expect(changeOf(lesson, as)).toEqual({ student_id: 'sam', instructor_id: 'kim', aircraft_id: 'a' });
  expect(changeOf({ ...lesson, guessed: [] }, as)).toBeNull();
  expect(changeOf({ ...lesson, guessed: ['aircraft'] }, { ...as, student: 'pat' })).toEqual({
    student_id: 'pat',
    aircraft_id: 'a',
  });
});

it('prop_a_demonstration_has_no_student_and_back', () => {
  const shown = changeOf({ ...lesson, guessed: ['student'] }, { ...as, student: DEMONSTRATION });
  expect(shown).toEqual({ demonstration: true });
  expect(
    changeOf({ ...lesson, guessed: [], demonstration: true, student: null }, { ...as, student: 'sam' }),
  ).toEqual({ demonstration: false, student_id: 'sam' });
});

// Arrivals

it('prop_arrivals_and_refusals_stand_in_one_order', () => {
  const recording = (sha256: string, received_utc: string) => ({ sha256, received_utc }) as RecordingBrief;
  const refused = (name: string, at_utc: string) => ({
    name,
    at_utc,
    bytes: 1,
    why: '',
    tried_again: false,
    by_name: '',
  });
  const all = merged(
    [recording('b', '2026-05-04T12:00:00.000Z'), recording('a', '2026-05-04T10:00:00.000Z')],
    [refused('x', '2026-05-04T11:00:00.000Z')],
  );
  expect(all.map((each) => each.what)).toEqual(['recording', 'refused', 'recording']);
});
