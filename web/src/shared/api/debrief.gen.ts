// Generated from schema/debrief-1.schema.json by `npm run types`. Do not edit.
export type paths = Record<string, never>;
export type webhooks = Record<string, never>;
export interface components {
    schemas: {
        /** @description The aircraft used. */
        AircraftSummary: {
            /** @description One line. */
            description: string;
            /** @description Name. */
            name: string;
            /** @description Speeds used, kt indicated. */
            speeds_kt: {
                [key: string]: number;
            };
        };
        /** @description What a flight leaves. As JSON it is a few hundred numbers, for machines; SI, speeds calibrated. */
        Carried: {
            /** @description Detents, rad. */
            detents_rad: number[];
            /** @description The same times the mean. */
            law_information: number[];
            /** @description Drag and thrust: precision. */
            law_precision: components["schemas"]["Square"];
            /** @description The same times the mean. */
            stall_information: number[];
            /** @description Stall speeds: precision. */
            stall_precision: components["schemas"]["Square"];
            /**
             * Format: double
             * @description The scale that the law is in, m/s.
             */
            vs1_cas_mps: number;
        };
        /**
         * Debrief document proofwing/debrief/1
         * @description A whole debrief.
         */
        Debrief: {
            /** @description The aircraft. */
            aircraft: components["schemas"]["AircraftSummary"];
            /** @description Safety words. */
            caution: string;
            /** @description What the flight itself says of its aircraft; absent in documents written before it was asked. */
            fit_of_the_day?: components["schemas"]["FitOfTheDay"] | null;
            /** @description The flight. */
            flight: components["schemas"]["FlightSummary"];
            /**
             * @description Every second of the flight, and how the time was spent.
             * @default {
             *       "pieces": [],
             *       "times": []
             *     }
             */
            lesson?: components["schemas"]["Lesson"];
            /** @description Maneuvers in order of time; after them those of the school's own, so that the numbers of the others stay. */
            maneuvers: components["schemas"]["ManeuverDebrief"][];
            /** @description Program version. */
            program: string;
            /** @description The recording. */
            recording: components["schemas"]["RecordingSummary"];
            /**
             * @description Limits that the flight went beyond, maneuver or not; the gravest kind first.
             * @default []
             */
            safety?: components["schemas"]["SafetyDebrief"][];
            /**
             * @description Kinds of safety event that this recording cannot show.
             * @default []
             */
            safety_not_watched?: components["schemas"]["NotWatchedDebrief"][];
            /** @description `proofwing/debrief/1`. */
            schema: string;
            /** @description The standard. */
            standard: components["schemas"]["StandardSummary"];
        };
        /** @description An event. */
        EventDebrief: {
            /**
             * Format: double
             * @description s.
             */
            at_s: number;
            /** @description Id. */
            name: string;
            /** @description Origin. */
            origin: string;
            /**
             * Format: double
             * @description Chance that it happened.
             */
            probability: number;
            /**
             * Format: double
             * @description 1-σ, s.
             */
            sigma_s: number;
            /** @description Figure. */
            value?: components["schemas"]["FactDebrief"] | null;
        };
        /** @description A number. */
        FactDebrief: {
            /** @description Origin. */
            origin: string;
            /**
             * Format: double
             * @description 1-σ.
             */
            sigma?: number | null;
            /** @description Unit. */
            unit: string;
            /**
             * Format: double
             * @description Value.
             */
            value: number;
        };
        /** @description A fault or a strength. */
        Finding: {
            /** @description One thing to try. */
            advice: string;
            /**
             * Format: double
             * @description When, s.
             */
            at_s: number;
            /**
             * Format: double
             * @description What it cost, ft, where known.
             */
            cost_ft?: number | null;
            /** @description Criteria it explains. */
            criteria: string[];
            /** @description Evidence in words with numbers. */
            evidence: string;
            /** @description Short headline, a sentence without a full stop. */
            headline: string;
            /** @description Id as in the design. */
            id: string;
            /**
             * Format: double
             * @description 0 to 1: how sure.
             */
            probability: number;
            /**
             * Format: double
             * @description 1-σ of the size.
             */
            sigma?: number | null;
            /**
             * Format: double
             * @description Size of the fault.
             */
            size?: number | null;
            /** @description Handbook chapter, or `common practice`. */
            source: string;
            /** @description Unit of the size. */
            unit: string;
            /**
             * Format: double
             * @description Until, s.
             */
            until_s?: number | null;
        };
        /** @description What the flight itself says of its aircraft: stall speeds, best speeds, drag and thrust. Not the manual's figures. */
        FitOfTheDay: {
            /** @description What this flight alone says, for later flights of the aircraft; absent where it says nothing. For machines. */
            carried?: components["schemas"]["Carried"] | null;
            /** @description Safety words. */
            caution: string;
            /**
             * Format: uint
             * @description Earlier flights of this aircraft that the figures are drawn to.
             * @default 0
             */
            earlier?: number;
            /**
             * @description Drag and thrust at named points; empty where the data do not support a fit.
             * @default []
             */
            points?: components["schemas"]["FitPoint"][];
            /** @description Figures, those without a value with the reason. */
            rows: components["schemas"]["FitRow"][];
            /** @description What it rests on, in sentences. */
            words: string[];
        };
        /** @description Drag and thrust at a named point of straight flight, flaps up, in parts of the weight. */
        FitPoint: {
            /**
             * Format: double
             * @description Steady climb that follows, ft/min.
             */
            climb_fpm: number;
            /**
             * Format: double
             * @description 1-σ.
             */
            climb_sigma_fpm: number;
            /**
             * Format: double
             * @description Drag over weight.
             */
            drag: number;
            /**
             * Format: double
             * @description 1-σ.
             */
            drag_sigma: number;
            /** @description For people. */
            name: string;
            /**
             * Format: double
             * @description Indicated airspeed, kt.
             */
            speed_kt: number;
            /**
             * Format: double
             * @description Thrust over weight; below zero where the air turns the propeller.
             */
            thrust: number;
            /**
             * Format: double
             * @description 1-σ.
             */
            thrust_sigma: number;
        };
        /** @description One figure of the fit, as flown beside the aircraft file's. */
        FitRow: {
            /**
             * Format: double
             * @description What this flight shows without the earlier ones; absent where there are none, or it shows nothing without them.
             */
            alone?: number | null;
            /**
             * Format: double
             * @description 1-σ of that.
             */
            alone_sigma?: number | null;
            /**
             * Format: double
             * @description What the aircraft file has, brought to the mass of the day.
             */
            file?: number | null;
            /**
             * Format: double
             * @description As flown; derived. None where the flight does not show it.
             */
            flown?: number | null;
            /** @description Id: `stall_0` (degrees of flap), `stall_power_on`, `vy`, `climb_rate`, `vx`, `best_glide`, `glide_ratio`. */
            id: string;
            /** @description For people. */
            name: string;
            /** @description Why there is no value. */
            reason?: string | null;
            /**
             * Format: double
             * @description 1-σ of it.
             */
            sigma?: number | null;
            /** @description `kt` indicated, `ft/min`, or empty for a ratio. */
            unit: string;
        };
        /** @description The flight in short. */
        FlightSummary: {
            /** @description `calm`, `light`, `rough`. */
            air: string;
            /**
             * Format: double
             * @description Highest altitude, ft.
             */
            altitude_max_ft?: number | null;
            /** @description Faults of channels and other remarks. */
            remarks: string[];
            /** @description ft. */
            strip_altitude_ft: (number | null)[];
            /**
             * Format: double
             * @description Altitude over the whole flight for the strip: step s, ft (null = unknown).
             */
            strip_step_s: number;
            /**
             * Format: double
             * @description Terrain elevation used, ft.
             */
            terrain_ft?: number | null;
            /**
             * Format: double
             * @description Wind at the practice height, from, degrees true.
             */
            wind_from_deg?: number | null;
            /**
             * Format: double
             * @description Wind speed, kt.
             */
            wind_kt?: number | null;
            /**
             * Format: double
             * @description 1-σ of the wind vector, kt.
             */
            wind_sigma_kt?: number | null;
        };
        /** @description Every foot of a loss shared among causes. Lines and `any_recovery` of a reading add up to its `lost`. */
        HeightLedger: {
            /** @description Safety words. */
            caution: string;
            /** @description `lowest_point` and `after_30_s`; of a power-off 180 `glide` alone. */
            readings: components["schemas"]["LedgerReading"][];
            /** @description What the flight is held against, in words. */
            reference: string;
            /** @description How far the model's replay of the flight is off at both readings, ft. */
            replay_off_ft?: number[] | null;
            /** @description Why there are no readings. */
            why_not?: string | null;
            /** @description What must be known with it, in words. */
            words: string[];
        };
        /** @description What a cause cost. */
        LedgerLine: {
            /** @description Id, the finding's where there is one: `stall_held`, `late_full_power`, …. */
            cause: string;
            /** @description Feet, with 1-σ; negative: it helped. */
            cost: components["schemas"]["FactDebrief"];
            /** @description From and to, ft: the true cost is between them in 95 of 100 (1.96 σ). */
            interval_ft: number[];
            /**
             * Format: double
             * @description Its mean over every order of causes (Shapley), ft.
             */
            orderless_ft?: number | null;
            /** @description In words. */
            title: string;
        };
        /** @description One reading of the ledger. */
        LedgerReading: {
            /** @description What any recovery costs today, ft: the loss less the lines. */
            any_recovery: components["schemas"]["FactDebrief"];
            /** @description What that is called: `any recovery`, `any go-around`, `the way at best glide`. */
            any_title: string;
            /** @description Causes in the order in which they were put right. */
            lines: components["schemas"]["LedgerLine"][];
            /** @description Height lost, ft; negative where it ended higher. */
            lost: components["schemas"]["FactDebrief"];
            /** @description `lowest_point`, `after_30_s`, `glide`. */
            name: string;
            /**
             * Format: double
             * @description s after the stall (the decision, the closing of the throttle).
             */
            seconds: number;
            /** @description In words. */
            title: string;
        };
        /** @description The whole flight in pieces that meet. */
        Lesson: {
            /** @description In order of time, from the first sample to the last, each beginning where the one before ends. */
            pieces: components["schemas"]["LessonPiece"][];
            /** @description How the time was spent, most first; together the flight. */
            times: components["schemas"]["LessonTime"][];
        };
        /** @description A piece of the flight. */
        LessonPiece: {
            /** @description Direction id. */
            direction: string;
            /**
             * Format: double
             * @description s.
             */
            end_s: number;
            /** @description What its time is summed under: `stalls`, `turns`, `on the ground`, …. */
            group: string;
            /**
             * Format: uint
             * @description Number of the maneuver; none = a leg.
             */
            maneuver?: number | null;
            /** @description A maneuver's title, or a leg: `turn`, `climb`, `descent`, `level`, `on the ground`, `not recorded`, …. */
            name: string;
            /**
             * Format: double
             * @description s.
             */
            start_s: number;
        };
        /** @description Time spent on one thing. */
        LessonTime: {
            /** @description `stalls`, `turns`, `on the ground`, …. */
            group: string;
            /**
             * Format: uint
             * @description Number of pieces.
             */
            pieces: number;
            /**
             * Format: double
             * @description s.
             */
            seconds: number;
        };
        /** @description One maneuver. */
        ManeuverDebrief: {
            /** @description One sentence: what to change. */
            change_line: string;
            /**
             * Format: double
             * @description 0 to 1.
             */
            confidence: number;
            /** @description `certain`, `likely`, `possible`. */
            confidence_word: string;
            /** @description Direction id. */
            direction: string;
            /**
             * Format: double
             * @description End, s.
             */
            end_s: number;
            /** @description Events. */
            events: components["schemas"]["EventDebrief"][];
            /** @description Facts by name with unit suffix (`altitude_lost_ft`). */
            facts: {
                [key: string]: components["schemas"]["FactDebrief"];
            };
            /** @description Findings, worst first. */
            findings: components["schemas"]["Finding"][];
            /** @description Where the height went: of stalls, go-arounds and power-off 180s. */
            height_ledger?: components["schemas"]["HeightLedger"] | null;
            /** @description Kind id. */
            kind: string;
            /** @description Whether the pack has a task for it. */
            marked: boolean;
            /** @description Marks. */
            marks: components["schemas"]["Mark"][];
            /**
             * Format: uint
             * @description 1-based number in order of time.
             */
            number: number;
            /** @description Phases. */
            phases: components["schemas"]["PhaseDebrief"][];
            /**
             * @description Whose word kind and bounds are: `program` or `person`.
             * @default program
             */
            set_by?: string;
            /** @description Recovery that was asked for: `full_stall`, `first_indication`; with origin. */
            specified_recovery?: string | null;
            /**
             * Format: double
             * @description Start, s.
             */
            start_s: number;
            /** @description The story, in order. */
            story: components["schemas"]["StoryLine"][];
            /** @description Strengths. */
            strengths: components["schemas"]["Finding"][];
            /** @description `briefed` or `assumed`. */
            targets_origin: string;
            /** @description Task code, e.g. `PA.VII.B`. */
            task?: string | null;
            /** @description Form that the task is for (`short_field`); absent = no particular one. */
            task_variant?: string | null;
            /** @description Title for people, e.g. `Power-off stall, straight ahead`. */
            title: string;
            /** @description Forms in which it was flown: `no_flap`, `cross_controlled`, …. */
            variants?: components["schemas"]["VariantDebrief"][];
            /** @description One sentence: what happened. */
            verdict_line: string;
            /** @description The recovery flown otherwise: of stalls and go-arounds. */
            what_if?: components["schemas"]["WhatIf"] | null;
        };
        /** @description One element of the standard, marked. */
        Mark: {
            /**
             * Format: double
             * @description When the worst was, s.
             */
            at_s?: number | null;
            /** @description Criterion id, e.g. `heading`. */
            criterion: string;
            /** @description Element code as published, e.g. `PA.VII.B.S6`. */
            element: string;
            /**
             * Format: double
             * @description Upper limit.
             */
            high?: number | null;
            /** @description Origin of target or limit: `published`, `briefed`, `aircraft_file`, `assumed`. */
            limit_origin: string;
            /**
             * Format: double
             * @description Lower limit (of the quantity itself, not of the deviation).
             */
            low?: number | null;
            /** @description The answer. */
            mark: components["schemas"]["Verdict"];
            /** @description Why, in one line, where a word helps: what is missing, a brief excursion corrected, …. */
            note?: string;
            /** @description Origin of the measurement: `measured`, `derived`, `assumed`. */
            origin: string;
            /**
             * Format: double
             * @description Seconds outside the limits.
             */
            outside_s?: number | null;
            /**
             * Format: double
             * @description P(met | data).
             */
            probability?: number | null;
            /** @description Quantity in words, e.g. `heading to the stall`. */
            quantity: string;
            /** @description What to draw. */
            ribbon?: components["schemas"]["Ribbon"] | null;
            /**
             * Format: double
             * @description 1-σ of `worst`.
             */
            sigma?: number | null;
            /**
             * Format: double
             * @description Target, if there is one.
             */
            target?: number | null;
            /** @description Unit of the numbers below, e.g. `deg`; empty when there is none. */
            unit: string;
            /**
             * Format: double
             * @description The value that decides: the worst held for the policy's time.
             */
            worst?: number | null;
        };
        /** @description A kind of safety event that this recording cannot show. */
        NotWatchedDebrief: {
            /** @description Its headline. */
            headline: string;
            /** @description Kind. */
            id: string;
            /** @description Why. */
            why: string;
        };
        /** @description A phase. */
        PhaseDebrief: {
            /**
             * Format: double
             * @description s.
             */
            end_s: number;
            /** @description Id. */
            name: string;
            /**
             * Format: double
             * @description s.
             */
            start_s: number;
        };
        /** @description What was read. */
        RecordingSummary: {
            /** @description Channel ids understood. */
            channels: string[];
            /**
             * Format: double
             * @description Seconds from first to last sample.
             */
            duration_s: number;
            /** @description `rich`, `panel`, `gnss_attitude`, `gnss`, `sparse`. */
            fit: string;
            /** @description Gaps, s. */
            gaps: [
                number,
                number
            ][];
            /**
             * Format: double
             * @description Median interval, s.
             */
            interval_s: number;
            /** @description File name. */
            name: string;
            /** @description Odd things, in words. */
            notes: string[];
            /**
             * Format: uint
             * @description Rows kept.
             */
            rows: number;
            /** @description UTC of the first sample, ISO 8601, if known. */
            start_utc?: string | null;
        };
        /** @description How a mark is drawn along time: deviation in units of the tolerance. */
        Ribbon: {
            /** @description Deviation ÷ tolerance (±1 = the limits); NaN is written as null. */
            deviation: (number | null)[];
            /**
             * Format: double
             * @description Start of the graded part, s.
             */
            graded_from_s: number;
            /**
             * Format: double
             * @description End of the graded part, s.
             */
            graded_to_s: number;
            /** @description Times of the dots for `moments`, s. */
            moments_s?: number[];
            /**
             * Format: float
             * @description 1-σ in the same scale.
             */
            sigma: number;
            /**
             * Format: double
             * @description First value's time, s.
             */
            start_s: number;
            /**
             * Format: double
             * @description Step, s.
             */
            step_s: number;
            /** @description `line`, `moments` (dots at `moments_s`) or `clock` (duration ÷ limit). */
            style: components["schemas"]["RibbonStyle"];
        };
        /** @description How a ribbon is drawn. */
        RibbonStyle: "line" | "moments" | "clock";
        /** @description A limit that the flight went beyond. */
        SafetyDebrief: {
            /**
             * Format: double
             * @description When it was worst, s.
             */
            at_s: number;
            /**
             * Format: double
             * @description Until, s.
             */
            end_s: number;
            /** @description Short headline. */
            headline: string;
            /** @description Kind, e.g. `above_vne`; all of them: `docs/safety-events.md`. */
            id: string;
            /**
             * Format: double
             * @description Limit at that moment, in the unit of the value.
             */
            limit: number;
            /** @description `published`, `aircraft` (its file) or `assumed`. */
            limit_origin: string;
            /**
             * Format: uint
             * @description Number of the maneuver that it happened in.
             */
            maneuver?: number | null;
            /** @description Where the limit stands. */
            source: string;
            /**
             * Format: double
             * @description From, s.
             */
            start_s: number;
            /** @description Two standard deviations beyond the limit; otherwise one: probably beyond. */
            sure: boolean;
            /** @description The worst that was kept up. */
            value: components["schemas"]["FactDebrief"];
            /** @description What happened, with the numbers. */
            words: string;
        };
        /** @description A square matrix, row by row. */
        Square: {
            cells: number[];
            /** Format: uint */
            size: number;
        };
        /** @description The standard used. */
        StandardSummary: {
            /** @description Edition, with date. */
            edition: string;
            /** @description Id, e.g. `faa-private`. */
            id: string;
            /** @description Tasks of the document that the pack leaves out, with the reason: `AI.X.I Spin awareness: …`. */
            missing?: string[];
            /** @description Title. */
            title: string;
        };
        /** @description One line of the story. */
        StoryLine: {
            /**
             * Format: double
             * @description s.
             */
            at_s: number;
            /** @description Event id it tells of. */
            event: string;
            /** @description Words with numbers. */
            text: string;
        };
        /** @description A form in which a maneuver was flown. */
        VariantDebrief: {
            /** @description Id. */
            name: string;
            /**
             * Format: double
             * @description Chance that it was flown so, 0 to 1.
             */
            probability: number;
            /** @description What shows it. */
            why: string;
        };
        /** @description The answer to one element. */
        Verdict: "met" | "not_met" | "too_close" | "not_recorded" | "for_instructor";
        /** @description A recovery and how it could have been flown. */
        WhatIf: {
            /** @description Safety words. */
            caution: string;
            /**
             * Format: double
             * @description Speed of climb that it is held against, kt indicated.
             */
            climb_kias: number;
            /** @description Whether flaps were out. */
            flaps_were_out: boolean;
            /** @description As flown, ft against the height at the start. */
            flown_height_ft: number[];
            /** @description As flown, kt. */
            flown_ias_kt: number[];
            /**
             * Format: double
             * @description Half of the power so long after the unloading, s; none = it did not change.
             */
            flown_power_s?: number | null;
            /**
             * Format: double
             * @description Share of the thrust that was set, 0 to 1.
             */
            flown_power_share: number;
            /**
             * Format: double
             * @description Unloaded so long after the stall, s.
             */
            flown_unload_s: number;
            /** @description With all of it done right. */
            right: components["schemas"]["WhatIfTrace"];
            /**
             * Format: double
             * @description What the ledger holds it against, s.
             */
            right_power_s: number;
            /**
             * Format: double
             * @description What the ledger holds it against, s.
             */
            right_unload_s: number;
            /**
             * Format: double
             * @description The stall (the decision), s: the traces begin there.
             */
            start_s: number;
            /**
             * Format: double
             * @description Step of the traces, s.
             */
            step_s: number;
        };
        /** @description A computed recovery. */
        WhatIfTrace: {
            /**
             * Format: double
             * @description At the end against the start, ft.
             */
            at_end_ft: number;
            /** @description ft against the height at the start. */
            height_ft: number[];
            /** @description 1-σ, ft. */
            height_sigma_ft: number[];
            /** @description kt. */
            ias_kt: number[];
            /** @description 1-σ, kt. */
            ias_sigma_kt: number[];
            /**
             * Format: double
             * @description Lost to the lowest point, ft.
             */
            lost_ft: number;
        };
    };
    responses: never;
    parameters: never;
    requestBodies: never;
    headers: never;
    pathItems: never;
}
export type $defs = Record<string, never>;
export type operations = Record<string, never>;
