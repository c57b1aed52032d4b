// Every request that the pages make, by name. Types are the server's.
import { request, requestBytes, upload, type RequestOptions } from './http';
import type * as t from './types';

type Options = Pick<RequestOptions, 'signal'>;

const id = encodeURIComponent;

export interface LessonFilter extends Record<string, string | number | null | undefined> {
  student?: string | null | undefined;
  instructor?: string | null | undefined;
  kind?: string | null | undefined;
  state?: string | null | undefined;
  before?: string | null | undefined;
  limit?: number | null | undefined;
}

export const api = {
  // Coming in
  status: (o: Options = {}) => request<t.Status>('GET', '/status', undefined, o),
  firstRun: (body: { school: string; name: string; login: string; password: string; code: string | null }) =>
    request<t.Me>('POST', '/first-run', body),
  signIn: (login: string, password: string) => request<t.Me>('POST', '/session', { login, password }),
  signOut: () => request<undefined>('DELETE', '/session'),
  signOutEverywhere: () => request<undefined>('DELETE', '/sessions'),
  sessions: (o: Options = {}) => request<t.Session[]>('GET', '/sessions', undefined, o),
  me: (o: Options = {}) => request<t.Me>('GET', '/me', undefined, o),
  changePassword: (body: { old: string; new: string }) => request<undefined>('POST', '/me/password', body),
  openInvite: (token: string) => request<t.InviteView>('GET', `/invites/${id(token)}`),
  useInvite: (token: string, body: { login?: string; name?: string; password: string }) =>
    request<t.Me>('POST', `/invites/${id(token)}`, body),

  // People
  invites: (o: Options = {}) => request<t.Invite[]>('GET', '/invites', undefined, o),
  invite: (body: { role: t.Role; name: string }) => request<t.InviteMade>('POST', '/invites', body),
  takeBackInvite: (invite: string) => request<undefined>('DELETE', `/invites/${id(invite)}`),
  people: (o: Options = {}) => request<t.Person[]>('GET', '/people', undefined, o),
  changePerson: (person: string, body: { name?: string; role?: t.Role; active?: boolean }) =>
    request<t.Person>('PATCH', `/people/${id(person)}`, body),
  resetLink: (person: string) => request<t.ResetLink>('POST', `/people/${id(person)}/reset`),
  signPersonOut: (person: string) => request<undefined>('DELETE', `/people/${id(person)}/sessions`),
  tokens: (o: Options = {}) => request<t.Token[]>('GET', '/tokens', undefined, o),
  makeToken: (body: { label: string; days: number }) => request<t.TokenMade>('POST', '/tokens', body),
  revokeToken: (token: string) => request<undefined>('DELETE', `/tokens/${id(token)}`),

  // Aircraft, standards, school
  aircraft: (o: Options = {}) => request<t.AircraftBrief[]>('GET', '/aircraft', undefined, o),
  aircraftFile: (aircraft: string, o: Options = {}) =>
    request<t.AircraftView>('GET', `/aircraft/${id(aircraft)}`, undefined, o),
  addAircraft: (body: { name: string; toml: string }) => request<t.AircraftView>('POST', '/aircraft', body),
  checkAircraft: (body: { name: string; toml: string }, o: Options = {}) =>
    request<t.AircraftChecked>('POST', '/aircraft/check', body, o),
  changeAircraft: (aircraft: string, body: { name?: string; toml?: string; active?: boolean }) =>
    request<t.AircraftView>('PUT', `/aircraft/${id(aircraft)}`, body),
  standards: (o: Options = {}) => request<t.StandardBrief[]>('GET', '/standards', undefined, o),
  standard: (pack: string, o: Options = {}) =>
    request<t.StandardView>('GET', `/standards/${id(pack)}`, undefined, o),
  putStandard: (pack: string, toml: string) =>
    request<t.StandardView>('PUT', `/standards/${id(pack)}`, { toml }),
  retireStandard: (pack: string) => request<undefined>('DELETE', `/standards/${id(pack)}`),
  changeSchool: (body: { name?: string; standard?: string; terrain_ft?: number | null }) =>
    request<t.School>('PATCH', '/school', body),

  // Recordings
  bringIn: (
    file: File,
    guess: { aircraft?: string; student?: string },
    o: Options & { onProgress?: (share: number) => void } = {},
  ) => upload<t.Imported>('/recordings', file, { ...o, query: { name: file.name, ...guess } }),
  recordings: (o: Options = {}) => request<t.RecordingBrief[]>('GET', '/recordings', undefined, o),
  /** Files of the watched folder that were not brought in. */
  refused: (o: Options = {}) => request<t.Refused[]>('GET', '/recordings/refused', undefined, o),
  recording: (sha256: string, o: Options = {}) =>
    request<t.RecordingView>('GET', `/recordings/${id(sha256)}`, undefined, o),
  mapRecording: (sha256: string, body: { name: string; entries: t.MapColumn[] }) =>
    request<t.Imported>('PUT', `/recordings/${id(sha256)}/map`, body),

  // Lessons
  lessons: (query: LessonFilter = {}, o: Options = {}) =>
    request<t.LessonBrief[]>('GET', '/lessons', undefined, { ...o, query }),
  lesson: (lesson: string, o: Options = {}) =>
    request<t.LessonView>('GET', `/lessons/${id(lesson)}`, undefined, o),
  series: (lesson: string, o: Options = {}) => requestBytes(`/lessons/${id(lesson)}/series`, o),
  picture: (lesson: string, maneuver: number, o: Options = {}) =>
    request<t.ManeuverPicture>(
      'GET',
      `/lessons/${id(lesson)}/maneuvers/${String(maneuver)}/picture`,
      undefined,
      o,
    ),
  /** The recovery of a maneuver flown otherwise. */
  whatIf: (lesson: string, maneuver: number, change: t.WhatIfChange, o: Options = {}) =>
    request<t.WhatIfTrace>('POST', `/lessons/${id(lesson)}/maneuvers/${String(maneuver)}/what-if`, change, o),
  /** @param seen - Number of the last entry seen: for lists that are sent whole, so that nobody's word is lost. */
  addEntry: (lesson: string, act: t.Act, seen?: number) =>
    request<t.LessonView>('POST', `/lessons/${id(lesson)}/entries`, {
      act,
      ...(seen === undefined ? {} : { expected_entry_seq: seen }),
    }),
  entries: (lesson: string, o: Options = {}) =>
    request<t.Entry[]>('GET', `/lessons/${id(lesson)}/entries`, undefined, o),
  /** @param body - With what the signer saw: the number of the last entry and the digest of what it is marked by. */
  sign: (
    lesson: string,
    body: { expected_entry_seq: number; expected_inputs_sha256: string; password: string },
  ) => request<t.SignedBrief>('POST', `/lessons/${id(lesson)}/sign`, body),
  signedVersions: (lesson: string, o: Options = {}) =>
    request<t.SignedBrief[]>('GET', `/lessons/${id(lesson)}/signed`, undefined, o),
  signedDifference: (lesson: string, version: number, withVersion: number | 'now', o: Options = {}) =>
    request<t.Difference[]>('GET', `/lessons/${id(lesson)}/signed/${String(version)}/difference`, undefined, {
      ...o,
      query: { with: withVersion === 'now' ? undefined : withVersion }, // absent = as it is now
    }),
  setAside: (lesson: string, reason: string) =>
    request<undefined>('POST', `/lessons/${id(lesson)}/set-aside`, { reason }),
  takeBack: (lesson: string) => request<t.LessonBrief>('POST', `/lessons/${id(lesson)}/take-back`),
  maneuvers: (query: { kind: string; student?: string }, o: Options = {}) =>
    request<t.ManeuverBrief[]>('GET', '/maneuvers', undefined, { ...o, query }),

  // The record
  audit: (query: { before?: number | undefined; limit?: number | undefined } = {}, o: Options = {}) =>
    request<t.AuditRow[]>('GET', '/audit', undefined, { ...o, query }),
  verify: (o: Options = {}) => request<t.Verified>('GET', '/audit/verify', undefined, o),
  jobs: (o: Options = {}) => request<t.Job[]>('GET', '/jobs', undefined, o),
  remark: () => request<t.Job>('POST', '/remark'),
};
