// The debrief document's types under the names that pilots use.

import type { components } from '../shared/api/debrief.gen';

type Schemas = components['schemas'];

export type Debrief = Schemas['Debrief'];
export type Maneuver = Schemas['ManeuverDebrief'];
export type Mark = Schemas['Mark'];
export type Ribbon = Schemas['Ribbon'];
export type Verdict = Schemas['Verdict'];
export type Finding = Schemas['Finding'];
export type FlightEvent = Schemas['EventDebrief'];
export type Phase = Schemas['PhaseDebrief'];
export type Fact = Schemas['FactDebrief'];
export type FitOfTheDay = Schemas['FitOfTheDay'];
export type FitRow = Schemas['FitRow'];
export type FitPoint = Schemas['FitPoint'];
export type LessonPiece = Schemas['LessonPiece'];
export type HeightLedger = Schemas['HeightLedger'];
export type LedgerReading = Schemas['LedgerReading'];
export type WhatIf = Schemas['WhatIf'];
export type WhatIfTrace = Schemas['WhatIfTrace'];
export type NotWatched = Schemas['NotWatchedDebrief'];
