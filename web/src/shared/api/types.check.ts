// Compiled, never run: the shapes of types.ts against those generated from the server's own description. When the
// server changes, `npm run types` and `npm run check` say here which shape no longer agrees, and in what.
import type { api } from './api';
import type { components } from './types.gen';
import type * as hand from './types';

type Described = components['schemas'];

/** As serde writes it: every field is there, what has no value is null. */
type Told<T> = T extends number[][]
  ? [number, number][] // Pairs (from, to): the description's lists do not tell their length.
  : T extends readonly (infer E)[]
    ? Told<E>[]
    : T extends object
      ? { [K in keyof T]-?: Told<Exclude<T[K], undefined>> }
      : T;

/** `true`, or what is wrong. */
type Agrees<Hand, Generated, Answer = Told<Generated>> = Answer extends Hand
  ? Exclude<keyof Answer, keyof Hand> extends never
    ? Exclude<keyof Hand, keyof Answer> extends never
      ? true
      : { notToldByTheServer: Exclude<keyof Hand, keyof Answer> }
    : { missingHere: Exclude<keyof Answer, keyof Hand> }
  : { differs: { [K in keyof Answer & keyof Hand as Answer[K] extends Hand[K] ? never : K]: Answer[K] } };

/** A body that the pages send is one that the server takes. */
type Taken<Sent, Generated> = Sent extends Generated ? true : { notTaken: Sent };

type Body<Call extends (...of: never[]) => unknown, At extends number> = Parameters<Call>[At];

interface Answers {
  AircraftBrief: Agrees<hand.AircraftBrief, Described['AircraftBrief']>;
  AircraftChecked: Agrees<hand.AircraftChecked, Described['AircraftChecked']>;
  AircraftView: Agrees<hand.AircraftView, Described['AircraftView']>;
  AuditRow: Agrees<hand.AuditRow, Described['AuditRow']>;
  Difference: Agrees<hand.Difference, Described['Difference']>;
  FileProblem: Agrees<hand.FileProblem, Described['FileProblem']>;
  GivenMark: Agrees<hand.GivenMark, Described['GivenMark']>;
  Imported: Agrees<hand.Imported, Described['Imported']>;
  Invite: Agrees<hand.Invite, Described['Invite']>;
  InviteMade: Agrees<hand.InviteMade, Described['InviteMade']>;
  InviteView: Agrees<hand.InviteView, Described['InviteView']>;
  Job: Agrees<hand.Job, Described['Job']>;
  LessonBrief: Agrees<hand.LessonBrief, Described['LessonBrief']>;
  LessonView: Agrees<hand.LessonView, Described['LessonView']>;
  ManeuverBrief: Agrees<hand.ManeuverBrief, Described['ManeuverBrief']>;
  Me: Agrees<hand.Me, Described['Me']>;
  Person: Agrees<hand.Person, Described['Person']>;
  Problem: Agrees<hand.Problem, Described['Problem']>;
  RecordingBrief: Agrees<hand.RecordingBrief, Described['RecordingBrief']>;
  RecordingView: Agrees<hand.RecordingView, Described['RecordingView']>;
  Refused: Agrees<hand.Refused, Described['Refused']>;
  ResetLink: Agrees<hand.ResetLink, Described['ResetLink']>;
  School: Agrees<hand.School, Described['School']>;
  Session: Agrees<hand.Session, Described['Session']>;
  SignedBrief: Agrees<hand.SignedBrief, Described['SignedBrief']>;
  StandardBrief: Agrees<hand.StandardBrief, Described['StandardBrief']>;
  StandardView: Agrees<hand.StandardView, Described['StandardView']>;
  Status: Agrees<hand.Status, Described['Status']>;
  Token: Agrees<hand.Token, Described['Token']>;
  TokenMade: Agrees<hand.TokenMade, Described['TokenMade']>;
  Verified: Agrees<hand.Verified, Described['Verified']>;
  Word: Agrees<hand.Word, Described['Word']>;
}

interface Requests {
  // A briefing may hold null where the server also takes nothing at all; its parts are compared alone.
  act: Taken<Exclude<hand.Act, { kind: 'briefed' }>, Described['Act']>;
  asked: Taken<hand.Asked, Described['Asked']>;
  firstRun: Taken<Body<typeof api.firstRun, 0>, Described['FirstRun']>;
  changePassword: Taken<Body<typeof api.changePassword, 0>, Described['PasswordChange']>;
  useInvite: Taken<Body<typeof api.useInvite, 1>, Described['InviteUse']>;
  invite: Taken<Body<typeof api.invite, 0>, Described['NewInvite']>;
  changePerson: Taken<Body<typeof api.changePerson, 1>, Described['PersonChange']>;
  makeToken: Taken<Body<typeof api.makeToken, 0>, Described['NewToken']>;
  addAircraft: Taken<Body<typeof api.addAircraft, 0>, Described['AircraftText']>;
  changeAircraft: Taken<Body<typeof api.changeAircraft, 1>, Described['AircraftChange']>;
  changeSchool: Taken<Body<typeof api.changeSchool, 0>, Described['SchoolChange']>;
  mapRecording: Taken<Body<typeof api.mapRecording, 1>, Described['MapText']>;
  sign: Taken<Body<typeof api.sign, 1>, Described['Sign']>;
}

type AllTrue<T> = { [K in keyof T as T[K] extends true ? never : K]: T[K] };

/** Anything that stands in these types does not agree; the compiler prints it. */
export const answersThatDiffer: AllTrue<Answers> = {};
export const requestsThatDiffer: AllTrue<Requests> = {};
