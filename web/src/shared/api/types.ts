// The shapes that pass between server and pages. The debrief document's come from its JSON Schema.
import type { components as debrief } from './debrief.gen';
import type { components as api } from './types.gen';

/** The debrief document `proofwing/debrief/1`. */
export type Debrief = debrief['schemas']['Debrief'];
export type ManeuverDebrief = debrief['schemas']['ManeuverDebrief'];
export type DebriefSchemas = debrief['schemas'];

/** A mark's verdict. */
export type Verdict = 'met' | 'not_met' | 'too_close' | 'not_recorded' | 'for_instructor';

/** A computed recovery, over the steps of the document's what-if. */
export type WhatIfTrace = debrief['schemas']['WhatIfTrace'];

/** A recovery flown otherwise; what is absent stays as flown. */
export type WhatIfChange = api['schemas']['WhatIfChange'];

/** What was asked for in one maneuver, or in all of a kind (docs/briefed-file.md). */
export interface Asked {
  kind?: string;
  number?: number;
  nth?: number;
  at_s?: number;
  /** The form that was asked for, e.g. `short_field`; `plain` = no particular one. */
  variant?: string;
  recovery?: 'full_stall' | 'first_indication';
  bank_deg?: number;
  heading_deg?: number;
  speed_kias?: number;
  altitude_ft?: number;
}

/** Everything that was asked for on a flight. */
export interface Briefed {
  maneuver?: Asked[];
  /** null takes it back (the server reads it as absent). */
  recovery?: 'full_stall' | 'first_indication' | null;
}

/** The maneuver that a correction speaks of. */
export interface Was {
  kind: string;
  start_s: number;
  end_s: number;
}

/** A person's correction of what was recognized (docs/corrections.md). */
export type Correction =
  | { do: 'set'; was?: Was | null; kind: string; direction?: string | null; start_s: number; end_s: number }
  | { do: 'remove'; was: Was };

/** What differs between two versions, or since one. */
export interface Difference {
  /** Title and time of the maneuver; none = the whole flight. */
  maneuver: string | null;
  /** Its start, s. */
  start_s: number | null;
  /** What changed: `mark`, `limit`, `start`, `note`, …. */
  what: string;
  element?: string | null;
  criterion?: string | null;
  before: string;
  after: string;
  /** All of it in one sentence. */
  sentence: string;
}

/** What anyone may know of the server. */
export interface Status {
  /** Nobody has an account yet. */
  first_run: boolean;
  /** The first account needs the code that was printed where the server was started. */
  first_run_code: boolean;
  /** The school's name; none before the first account. */
  school?: string | null;
  version: string;
  /** Logins of an invented demo school; none in a real one. */
  demo?: DemoLogins | null;
  caution: string;
}

/** The logins of an invented demo school. */
export interface DemoLogins {
  logins: DemoLogin[];
}

/** A login of a demo school. */
export interface DemoLogin {
  login: string;
  password: string;
  name: string;
  /** Role in words. */
  role: string;
}

/** Who is signed in and what they may do. */
export interface Me {
  person: Person;
  school: School;
  permissions: Permissions;
}

/** What a role allows; the server checks each request again. */
export interface Permissions {
  read_all: boolean;
  bring_in: boolean;
  judge: boolean;
  manage_people: boolean;
  manage_aircraft: boolean;
  manage_standards: boolean;
  read_audit: boolean;
}

/** A link for someone, when it is opened. */
export interface InviteView {
  /** `join` or `reset`. */
  purpose: string;
  role: Role;
  name: string;
  school: string;
  expires_utc: string;
}

/** A link just made: told once. */
export interface InviteMade {
  invite: Invite;
  link_path: string;
}

/** A link to choose a new password, told once. */
export interface ResetLink {
  link_path: string;
  expires_utc: string;
}

/** A token with its secret, told once. */
export interface TokenMade {
  secret: string;
  token: Token;
}

/** What a check of an aircraft file found, when it can be used. */
export interface AircraftChecked {
  notices: string[];
}

/** What went wrong, as the server says it. */
export interface Problem {
  code: string;
  message: string;
  hint?: string | null;
  field?: string | null;
  problems?: FileProblem[];
  log_id?: string | null;
}

/** An aircraft in a list. */
export interface AircraftBrief {
  /** Id. */
  id: string;
  /** The school's name for it. */
  name: string;
  /** One line of its file. */
  description: string;
  /** In use. */
  active: boolean;
  /** SHA-256 of the file in force. */
  file_sha256: string;
  /** When the file last changed. */
  changed_utc: string;
}

/** An aircraft with its file. */
export interface AircraftView extends AircraftBrief {
  /** The file in force (docs/aircraft-file.md). */
  toml: string;
  /** What the file lacks or what looks odd, in words. */
  notices: string[];
  /** Every file it ever had, newest first. */
  history: FileVersion[];
}

/** One text that was in force. */
export interface FileVersion {
  /** SHA-256 of the text. */
  sha256: string;
  /** Who put it there. */
  by: string;
  /** When. */
  at_utc: string;
}

/** Something wrong in a file that a person wrote. */
export interface FileProblem {
  /** 1-based line, 0 = the whole file. */
  line: number;
  /** 1-based column. */
  column: number;
  /** What, and how to mend it. */
  message: string;
}

/** One act, chained to the one before. */
export interface AuditRow {
  /** Number, 1 = the first. */
  seq: number;
  /** When. */
  at_utc: string;
  /** Who (person id; empty = the program itself). */
  by_id: string;
  /** Their name at the time. */
  by_name: string;
  /** What was done, e.g. `lesson.signed`. */
  action: string;
  /** To what: kind and id, e.g. `lesson 0193…`. */
  subject: string;
  /** Particulars, JSON text. */
  detail: string;
  /** SHA-256 of the row before, hex. */
  previous: string;
  /** SHA-256 of this row, hex. */
  hash: string;
}

/** What a check of the record found. */
export interface Verified {
  /** Rows of the audit trail that were checked. */
  audit_rows: number;
  /** Hash of the last row: written down elsewhere, it proves that nothing was cut off. */
  audit_head: string;
  /** Signed versions whose bytes fit their digest and their predecessor. */
  signed_versions: number;
  /** Recordings whose bytes fit their name. */
  recordings: number;
  /** Everything that does not fit, in words, with where; empty = the record holds. */
  problems: string[];
}

/** A long work in the background. */
export interface Job {
  /** Id. */
  id: string;
  /** `remark`. */
  kind: string;
  /** `waiting`, `running`, `done`, `stopped`. */
  state: string;
  /** Pieces in all. */
  total: number;
  /** Pieces done. */
  done: number;
  /** Pieces that could not be done. */
  failed: number;
  /** Why it runs, or what went wrong. */
  note: string;
  /** When it was asked for. */
  made_utc: string;
  /** Last step. */
  changed_utc: string;
}

/** Which maneuver is meant: the one of this kind with the greatest overlap in time. */
export interface ManeuverRef {
  /** Kind id. */
  kind: string;
  /** Start, s. */
  start_s: number;
  /** End, s. */
  end_s: number;
}

/** What a person did. */
export type Act =
  | ({ kind: 'setting' } & Setting)
  | { kind: 'briefed'; briefed: Briefed }
  | { kind: 'corrections'; corrections: Correction[] }
  | {
      kind: 'mark';
      maneuver: ManeuverRef;
      element: string;
      criterion: string;
      verdict: Verdict;
      reason: string;
    }
  | { kind: 'confirm'; maneuver: ManeuverRef; element: string; criterion: string }
  | { kind: 'unmark'; maneuver: ManeuverRef; element: string; criterion: string }
  | { kind: 'note'; id: string; at_s: number; text: string }
  | { kind: 'unnote'; id: string }
  | { kind: 'summary'; text: string; next: string }
  | { kind: 'answer'; maneuver: ManeuverRef; said: Said[] }
  | { kind: 'reply'; text: string }
  | { kind: 'acknowledge'; version: number; sha256: string };

/** A change of a lesson's header; what is absent stays. */
export interface Setting {
  /** Student (person id). */
  student_id?: string;
  /** Instructor (person id). */
  instructor_id?: string;
  /** Aircraft id. */
  aircraft_id?: string;
  /** Pack id. */
  standard?: string;
  /** Elevation below the practice area, ft above sea level; null = the school's again. */
  terrain_ft?: number | null;
  /** Title. */
  title?: string;
  /** Instructor's demonstration. */
  demonstration?: boolean;
}

/** One thing that the student said. */
export interface Said {
  /** Question id: `height_lost`, `limit_broken`, `why`, …. */
  question: string;
  /** A choice, e.g. a criterion id or `none`. */
  choice?: string | null;
  /** A number. */
  value?: number | null;
  /** Its unit. */
  unit?: string | null;
  /** Words. */
  text?: string | null;
}

/** An act with who, when and its place in the row of acts. */
export interface Entry {
  /** 1, 2, … within the lesson. */
  seq: number;
  /** Id. */
  id: string;
  /** When. */
  at_utc: string;
  /** Who. */
  by: PersonBrief;
  /** What. */
  act: Act;
}

/** How far a lesson's debrief is. */
export type LessonState =
  'to_confirm' | 'open' | 'signed' | 'changed_since_signed' | 'acknowledged' | 'set_aside';

/** A lesson in a list. */
export interface LessonBrief {
  /** Id. */
  id: string;
  /** Title, e.g. `Stalls, straight and turning`; the program proposes one from what was flown. */
  title: string;
  /** UTC of the first sample, if the recording tells; else when it was received. */
  start_utc: string;
  /** Whether `start_utc` is from the recording. */
  start_known: boolean;
  /** Length, s. */
  duration_s: number;
  /** Student. */
  student: PersonBrief | null;
  /** Instructor. */
  instructor: PersonBrief | null;
  /** Aircraft id. */
  aircraft_id: string | null;
  /** Aircraft name. */
  aircraft: string | null;
  /** Standard (pack id). */
  standard: string;
  /** Flown by the instructor to show it. */
  demonstration: boolean;
  /** Which of `student`, `instructor`, `aircraft` are guesses that nobody confirmed. */
  guessed: string[];
  /** State. */
  state: LessonState;
  /** What was flown: kind id and how many, in order of first appearance. */
  flown: Flown[];
  /** The recording. */
  recording_sha256: string;
  /** Which flight of the recording, 0 = the first. */
  part: number;
}

/** A kind of maneuver in a lesson. */
export interface Flown {
  /** Kind id. */
  kind: string;
  /** Name for people. */
  title: string;
  /** How many. */
  count: number;
}

/** Everything that the debrief room shows of a lesson (the series come apart, as a binary). */
export interface LessonView {
  /** In short. */
  lesson: LessonBrief;
  /** Elevation used below the practice area, ft. */
  terrain_ft: number | null;
  /** The document `proofwing/debrief/1` as the program computes it now. */
  debrief: Debrief;
  /** What people said. */
  word: Word;
  /** What was asked for, as JSON of the briefing file. */
  briefed: Briefed;
  /** Corrections of recognition in force (docs/corrections.md). */
  corrections: Correction[];
  /** Signed versions, oldest first. */
  signed: SignedBrief[];
  /** What is different now from the last signed version. */
  changes_since_signing: Difference[];
  /** What the person who asks may do here. */
  can: Can;
  /** Number of the last entry: sent back when signing, so that nobody signs what they have not seen. */
  entry_seq: number;
  /** SHA-256 of everything the debrief was computed from. */
  inputs_sha256: string;
}

/** What a person may do with a lesson. */
export interface Can {
  /** Give the instructor's word: marks, corrections, notes, briefing, summary. */
  judge: boolean;
  /** Sign. */
  sign: boolean;
  /** Answer first, reply, acknowledge: it is their lesson. */
  reply: boolean;
}

/** A signed version in short. */
export interface SignedBrief {
  /** 1, 2, … */
  version: number;
  /** SHA-256 of the signed bytes, hex. */
  sha256: string;
  /** Digest of the version before. */
  previous_sha256: string | null;
  /** Who signed. */
  by: PersonBrief;
  /** When. */
  at_utc: string;
  /** When the student acknowledged this version. */
  acknowledged_utc: string | null;
}

/** A drawing of a maneuver, px of 1/96 in: the inks are roles of the palette. */
export interface PictureDrawing {
  width: number;
  height: number;
  title: string;
  description: string;
  items: PictureItem[];
}

export type PictureItem =
  | {
      kind: 'path';
      d: string;
      fill?: string | null;
      stroke?: string | null;
      stroke_width?: number | null;
      dashed: boolean;
    }
  | { kind: 'words'; x: number; y: number; size: number; ink: string; bold: boolean; text: string };

/** The picture that shows a maneuver's kind best, for a wide page and a narrow one; null = traces over time do. */
export interface ManeuverPicture {
  wide?: PictureDrawing | null;
  narrow?: PictureDrawing | null;
}

/** A maneuver in a list over lessons, for comparing. */
export interface ManeuverBrief {
  /** Lesson. */
  lesson_id: string;
  /** Number in the debrief. */
  number: number;
  /** Kind id. */
  kind: string;
  /** Title. */
  title: string;
  /** UTC of its start. */
  start_utc: string;
  /** Start, s from the first sample. */
  start_s: number;
  /** End, s. */
  end_s: number;
  /** Student. */
  student: PersonBrief | null;
  /** Instructor's demonstration. */
  demonstration: boolean;
  /** Form whose task marked it (`short_field`); absent = no particular one. */
  variant?: string | null;
  /** Marks by verdict id. */
  marks: Record<string, number>;
}

/** What a person may do. */
export type Role = 'chief' | 'instructor' | 'student' | 'auditor';

/** A person of the school. */
export interface Person {
  /** Id. */
  id: string;
  /** Name for people. */
  name: string;
  /** What they sign in with, lower case. */
  login: string;
  /** Role. */
  role: Role;
  /** May sign in. */
  active: boolean;
  /** Since when. */
  created_utc: string;
  /** Last seen, from the sessions; none = never signed in. */
  seen_utc: string | null;
}

/** A person as other pages name them. */
export interface PersonBrief {
  /** Id. */
  id: string;
  /** Name. */
  name: string;
  /** Role. */
  role: Role;
}

/** A link that lets a person in, or lets them choose a new password. */
export interface Invite {
  /** Id. */
  id: string;
  /** `join` or `reset`. */
  purpose: string;
  /** Role they will have. */
  role: Role;
  /** Name. */
  name: string;
  /** Who made it. */
  made_by: string;
  /** When. */
  made_utc: string;
  /** Until when it works. */
  expires_utc: string;
  /** When it was used. */
  used_utc: string | null;
}

/** A personal access token, without its secret. */
export interface Token {
  /** Id. */
  id: string;
  /** What it is for, in the owner's words. */
  label: string;
  /** When it was made. */
  created_utc: string;
  /** Until when it works. */
  expires_utc: string;
  /** Last use. */
  used_utc: string | null;
}

/** A place where a person is signed in. */
export interface Session {
  /** Browser and system in words, as far as told. */
  device: string;
  /** Signed in when. */
  created_utc: string;
  /** Last seen. */
  seen_utc: string;
  /** The session that asks. */
  this: boolean;
}

/** The school. */
export interface School {
  /** Name. */
  name: string;
  /** Standard for a lesson that names none. */
  standard: string;
  /** Elevation below the practice area, ft above sea level, where the lesson names none. */
  terrain_ft: number | null;
  /** Since when. */
  created_utc: string;
}

/** A recording in a list. */
export interface RecordingBrief {
  /** SHA-256 of the bytes, hex: its name in the record. */
  sha256: string;
  /** File name as received. */
  name: string;
  /** Size. */
  bytes: number;
  /** When it came. */
  received_utc: string;
  /** Who brought it. */
  by: PersonBrief;
  /** `page`, `command` or `folder`. */
  via: string;
  /** Lessons made of it. */
  lessons: string[];
  /** A person should look at how it was read. */
  unsure: boolean;
}

/** A recording with how it was read. */
export interface RecordingView extends RecordingBrief {
  /** How it was read. */
  reading: Reading;
}

/** A file of the watched folder that was not brought in. */
export interface Refused {
  /** File name. */
  name: string;
  /** Size. */
  bytes: number;
  /** Why, in words. */
  why: string;
  /** It is tried again by itself. */
  tried_again: boolean;
  /** When it was told. */
  at_utc: string;
  /** In whose name the folder is watched. */
  by_name: string;
}

/** How a recording was read, for a person to check. */
export interface Reading {
  /** `plain`, `gzip`, `zip (member NAME)`. */
  container: string;
  /** `table` or `GPX 1.1`. */
  format: string;
  /** Fingerprint of the header, by which a map is remembered. */
  header_signature: string;
  /** How the time was understood. */
  time: ReadTime;
  /** Every column. */
  columns: ReadColumn[];
  /** Rows kept. */
  rows_kept: number;
  /** Rows left out. */
  rows_lost: number;
  /** Holes, s. */
  gaps: [number, number][];
  /** Odd things: line, column, what, what was done. */
  notes: ReadNote[];
  /** Notes beyond the list's limit. */
  notes_dropped: number;
  /** Name of the map that was used, if one was. */
  map: string | null;
  /** Flights found. */
  flights: number;
  /** A column or the time is unsure: a person should confirm. */
  unsure: boolean;
}

/** How the time was understood. */
export interface ReadTime {
  /** In words. */
  how: string;
  /** UTC of the first sample; empty when the file does not tell. */
  start_utc: string;
  /** Length, s. */
  length_s: number;
  /** Median interval, s. */
  interval_s: number;
  /** 0 to 1. */
  confidence: number;
}

/** How a column was understood. */
export interface ReadColumn {
  /** 1-based number. */
  number: number;
  /** Name in the file. */
  name: string;
  /** Channel id, `time`, `text`, `empty` or `other`. */
  taken_for: string;
  /** Unit. */
  unit: string;
  /** `written`, `by the numbers`, `map` or empty. */
  unit_origin: string;
  /** Used for its channel. */
  chosen: boolean;
  /** Why we think so. */
  because: string;
  /** 0 to 1. */
  confidence: number;
  /** Smallest value, in the file's unit. */
  low: number | null;
  /** Largest value. */
  high: number | null;
}

/** Something odd in a file. */
export interface ReadNote {
  /** 1-based line, 0 = the file. */
  line: number;
  /** 1-based column, 0 = the line. */
  column: number;
  /** What. */
  what: string;
  /** What was done about it. */
  done: string;
}

/** One correction of how a column is read. */
export interface MapColumn {
  /** Channel id, `time` or `ignore`. */
  channel: string;
  /** Column name, or `#3` for the third. */
  column: string;
  /** Unit, where the file does not say. */
  unit: string | null;
}

/** What bringing a file in gave. */
export interface Imported {
  /** The recording. */
  recording: RecordingView;
  /** The same bytes were here before; nothing was made twice. */
  known: boolean;
  /** Lessons made of it (or found, when known). */
  lessons: LessonBrief[];
}

/** A pack in a list. */
export interface StandardBrief {
  /** Pack id. */
  id: string;
  /** Title. */
  title: string;
  /** Edition. */
  edition: string;
  /** Date of the edition, in words. */
  date: string;
  /** Comes with the program, or the school's own. */
  school_pack: boolean;
  /** SHA-256 of the text in force. */
  sha256: string;
}

/** A pack with its tasks. */
export interface StandardView extends StandardBrief {
  /** Full title of the published document. */
  document: string;
  /** Where the numbers stand. */
  source: string;
  /** Tasks of the document that the pack leaves out, with the reason. */
  missing: string[];
  /** Tasks. */
  tasks: TaskView[];
  /** The pack's text. */
  toml: string;
}

/** A task. */
export interface TaskView {
  /** Code. */
  code: string;
  /** Kind id. */
  kind: string;
  /** Form that the task is for (`short_field`); absent = no particular one. */
  variant?: string | null;
  /** Title. */
  title: string;
  /** Elements. */
  elements: ElementView[];
}

/** An element. */
export interface ElementView {
  /** Full code, e.g. `PA.VII.B.S6`. */
  code: string;
  /** What it asks for. */
  skill: string;
  /** Criteria in words: id, quantity, limit with unit, origin, and whether only a person can judge. */
  criteria: CriterionView[];
}

/** A criterion. */
export interface CriterionView {
  /** Id. */
  id: string;
  /** Quantity in words. */
  quantity: string;
  /** Limit in words with its unit, e.g. `± 10 deg`; empty = none. */
  limit: string;
  /** `published`, `assumed`, …. */
  origin: string;
  /** Only a person can judge. */
  for_instructor: boolean;
  /** Remark. */
  note: string;
}

/** Everything people said of a lesson, as it stands now. */
export interface Word {
  /** Marks that a person confirmed, changed or gave. */
  marks: GivenMark[];
  /** Notes in order of time. */
  notes: PinnedNote[];
  /** The lesson in the instructor's words. */
  summary: Summary | null;
  /** What the student said before seeing the numbers. */
  answers: Answer[];
  /** The student's replies. */
  replies: Reply[];
}

/** A mark by a person. */
export interface GivenMark {
  /** Number of the maneuver in the debrief as it is now; none = no such maneuver now. */
  number: number | null;
  /** Which maneuver was meant. */
  maneuver: ManeuverRef;
  /** Element code. */
  element: string;
  /** Criterion id. */
  criterion: string;
  /** The person's verdict (the program's own when only confirmed). */
  verdict: Verdict;
  /** The program's verdict now; none = it no longer marks this. */
  program: Verdict | null;
  /** The program's verdict when the person spoke, where it differs from now. */
  program_then: Verdict | null;
  /** `confirmed`, `changed` or `given` (an item that only a person can judge). */
  how: string;
  /** Why. */
  reason: string;
  /** Who. */
  by: PersonBrief;
  /** When. */
  at_utc: string;
}

/** A note. */
export interface PinnedNote {
  /** Id. */
  id: string;
  /** Moment, s. */
  at_s: number;
  /** Words. */
  text: string;
  /** Who. */
  by: PersonBrief;
  /** When. */
  at_utc: string;
}

/** The lesson's summary. */
export interface Summary {
  /** How it went. */
  text: string;
  /** Next time. */
  next: string;
  /** Who. */
  by: PersonBrief;
  /** When. */
  at_utc: string;
}

/** What the student said first. */
export interface Answer {
  /** Number of the maneuver now. */
  number: number | null;
  /** Which was meant. */
  maneuver: ManeuverRef;
  /** Answers. */
  said: Said[];
  /** Who. */
  by: PersonBrief;
  /** When. */
  at_utc: string;
}

/** The student's words. */
export interface Reply {
  /** Words. */
  text: string;
  /** Who. */
  by: PersonBrief;
  /** When. */
  at_utc: string;
}
