// Generated from schema/openapi.json by `npm run types`. Do not edit.
export interface paths {
    "/aircraft": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        /**
         * Every aircraft, those in use first.
         * @description Who: chief instructor, instructor, auditor; also with a token.
         */
        get: operations["aircraft_list"];
        put?: never;
        /**
         * Adds an aircraft.
         * @description Who: chief instructor; also with a token.
         */
        post: operations["aircraft_add"];
        delete?: never;
        options?: never;
        head?: never;
        patch?: never;
        trace?: never;
    };
    "/aircraft/{id}": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        /**
         * One aircraft with its file, what looks odd in it, and every file it had.
         * @description Who: chief instructor, instructor, auditor; also with a token.
         */
        get: operations["aircraft_view"];
        /**
         * Changes an aircraft's name or file, or whether it is in use. Its former files stay on record.
         * @description Who: chief instructor; also with a token.
         */
        put: operations["aircraft_change"];
        post?: never;
        delete?: never;
        options?: never;
        head?: never;
        patch?: never;
        trace?: never;
    };
    "/aircraft/check": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        get?: never;
        put?: never;
        /**
         * Checks an aircraft file without keeping it: its problems by line and column (422), or what looks odd.
         * @description Who: chief instructor; also with a token.
         */
        post: operations["aircraft_check"];
        delete?: never;
        options?: never;
        head?: never;
        patch?: never;
        trace?: never;
    };
    "/audit": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        /**
         * The audit trail, newest first.
         * @description Who: chief instructor, auditor; also with a token.
         */
        get: operations["audit_rows"];
        put?: never;
        post?: never;
        delete?: never;
        options?: never;
        head?: never;
        patch?: never;
        trace?: never;
    };
    "/audit/verify": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        /**
         * Checks the whole record: the trail's chain, what was signed, and the recordings' bytes.
         * @description Who: chief instructor, auditor; also with a token.
         */
        get: operations["audit_verify"];
        put?: never;
        post?: never;
        delete?: never;
        options?: never;
        head?: never;
        patch?: never;
        trace?: never;
    };
    "/first-run": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        get?: never;
        put?: never;
        /**
         * Makes the school and its chief instructor's account, and signs them in. Works once.
         * @description Who: Anyone.
         */
        post: operations["status_first_run"];
        delete?: never;
        options?: never;
        head?: never;
        patch?: never;
        trace?: never;
    };
    "/invites": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        /**
         * Every invitation and reset, newest first.
         * @description Who: chief instructor; not with a token.
         */
        get: operations["invites_list"];
        put?: never;
        /**
         * Invites a person. The link is told this once.
         * @description Who: chief instructor; not with a token.
         */
        post: operations["invites_make"];
        delete?: never;
        options?: never;
        head?: never;
        patch?: never;
        trace?: never;
    };
    "/invites/{token}": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        /**
         * What a link is for, as the one who holds it sees it.
         * @description Who: Anyone.
         */
        get: operations["invites_view"];
        put?: never;
        /**
         * Uses a link: makes the account or sets the new password, and signs in.
         * @description Who: Anyone.
         */
        post: operations["invites_accept"];
        /**
         * Withdraws an invitation.
         * @description Who: chief instructor; not with a token.
         */
        delete: operations["invites_withdraw"];
        options?: never;
        head?: never;
        patch?: never;
        trace?: never;
    };
    "/jobs": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        /**
         * Long works in the background, newest first.
         * @description Who: chief instructor, instructor, auditor; also with a token.
         */
        get: operations["jobs"];
        put?: never;
        post?: never;
        delete?: never;
        options?: never;
        head?: never;
        patch?: never;
        trace?: never;
    };
    "/lessons": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        /**
         * Lessons, newest first; a student gets their own and the demonstrations.
         * @description Who: chief instructor, instructor, auditor, student; also with a token.
         */
        get: operations["lessons_list"];
        put?: never;
        post?: never;
        delete?: never;
        options?: never;
        head?: never;
        patch?: never;
        trace?: never;
    };
    "/lessons/{id}": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        /**
         * Everything the debrief room shows of a lesson but the series.
         * @description Who: chief instructor, instructor, auditor, the lesson's student (a demonstration: every student); also with a token.
         */
        get: operations["lessons_view"];
        put?: never;
        post?: never;
        delete?: never;
        options?: never;
        head?: never;
        patch?: never;
        trace?: never;
    };
    "/lessons/{id}/brief-card.html": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        /**
         * The brief card as one page that needs nothing else.
         * @description Who: chief instructor, instructor, auditor, the lesson's student; also with a token.
         */
        get: operations["files_brief_card_html"];
        put?: never;
        post?: never;
        delete?: never;
        options?: never;
        head?: never;
        patch?: never;
        trace?: never;
    };
    "/lessons/{id}/brief-card.pdf": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        /**
         * What to brief the next stalls from: for each kind of stall the clean recovery of the day, one page each.
         * @description Who: chief instructor, instructor, auditor, the lesson's student; also with a token.
         */
        get: operations["files_brief_card_pdf"];
        put?: never;
        post?: never;
        delete?: never;
        options?: never;
        head?: never;
        patch?: never;
        trace?: never;
    };
    "/lessons/{id}/debrief.html": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        /**
         * The debrief as one page that needs nothing else.
         * @description Who: chief instructor, instructor, auditor, the lesson's student; also with a token.
         */
        get: operations["files_debrief_html"];
        put?: never;
        post?: never;
        delete?: never;
        options?: never;
        head?: never;
        patch?: never;
        trace?: never;
    };
    "/lessons/{id}/debrief.json": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        /**
         * The document `proofwing/debrief/1`.
         * @description Who: chief instructor, instructor, auditor, the lesson's student; also with a token.
         */
        get: operations["files_debrief_json"];
        put?: never;
        post?: never;
        delete?: never;
        options?: never;
        head?: never;
        patch?: never;
        trace?: never;
    };
    "/lessons/{id}/entries": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        /**
         * Every act on a lesson, in order.
         * @description Who: chief instructor, instructor, auditor, the lesson's student; also with a token.
         */
        get: operations["word_entries"];
        put?: never;
        /**
         * Adds an act. Setting, briefing and corrections mark the lesson anew at once.
         * @description Who: chief instructor, instructor, the lesson's student; also with a token.
         */
        post: operations["word_add"];
        delete?: never;
        options?: never;
        head?: never;
        patch?: never;
        trace?: never;
    };
    "/lessons/{id}/flight.csv": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        /**
         * The reconstructed flight as CSV, with units and σ.
         * @description Who: chief instructor, instructor, auditor, the lesson's student; also with a token.
         */
        get: operations["files_flight_csv"];
        put?: never;
        post?: never;
        delete?: never;
        options?: never;
        head?: never;
        patch?: never;
        trace?: never;
    };
    "/lessons/{id}/flight.parquet": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        /**
         * The reconstructed flight as Parquet, with units and σ.
         * @description Who: chief instructor, instructor, auditor, the lesson's student; also with a token.
         */
        get: operations["files_flight_parquet"];
        put?: never;
        post?: never;
        delete?: never;
        options?: never;
        head?: never;
        patch?: never;
        trace?: never;
    };
    "/lessons/{id}/lesson.pdf": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        /**
         * The lesson on one page; with `sheets=true` every maneuver's sheet behind it.
         * @description Who: chief instructor, instructor, auditor, the lesson's student; also with a token.
         */
        get: operations["files_lesson_pdf"];
        put?: never;
        post?: never;
        delete?: never;
        options?: never;
        head?: never;
        patch?: never;
        trace?: never;
    };
    "/lessons/{id}/maneuvers/{number}/picture": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        /**
         * The picture that shows a maneuver's kind best, as on its printed sheet: for a wide page and for a narrow one.
         *     Both are null where traces over time say it best, or the recording does not support another.
         * @description Who: chief instructor, instructor, auditor, the lesson's student (a demonstration: every student); also with a token.
         */
        get: operations["lessons_picture"];
        put?: never;
        post?: never;
        delete?: never;
        options?: never;
        head?: never;
        patch?: never;
        trace?: never;
    };
    "/lessons/{id}/maneuvers/{number}/what-if": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        get?: never;
        put?: never;
        /**
         * The recovery of a stall or go-around flown otherwise, over the real one. Nothing is kept.
         * @description Who: chief instructor, instructor, auditor, the lesson's student (a demonstration: every student); also with a token.
         */
        post: operations["lessons_what_if"];
        delete?: never;
        options?: never;
        head?: never;
        patch?: never;
        trace?: never;
    };
    "/lessons/{id}/path.gpx": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        /**
         * The path as GPX 1.1.
         * @description Who: chief instructor, instructor, auditor, the lesson's student; also with a token.
         */
        get: operations["files_path_gpx"];
        put?: never;
        post?: never;
        delete?: never;
        options?: never;
        head?: never;
        patch?: never;
        trace?: never;
    };
    "/lessons/{id}/path.kml": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        /**
         * The path as KML.
         * @description Who: chief instructor, instructor, auditor, the lesson's student; also with a token.
         */
        get: operations["files_path_kml"];
        put?: never;
        post?: never;
        delete?: never;
        options?: never;
        head?: never;
        patch?: never;
        trace?: never;
    };
    "/lessons/{id}/series": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        /**
         * The flight as typed columns (`PWS1`, docs/series.md). The ETag changes only when the flight is reconstructed anew.
         * @description Who: chief instructor, instructor, auditor, the lesson's student (a demonstration: every student); also with a token.
         */
        get: operations["lessons_series"];
        put?: never;
        post?: never;
        delete?: never;
        options?: never;
        head?: never;
        patch?: never;
        trace?: never;
    };
    "/lessons/{id}/set-aside": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        get?: never;
        put?: never;
        /**
         * Sets a lesson aside that is none. Nothing is deleted.
         * @description Who: chief instructor; also with a token.
         */
        post: operations["lessons_set_aside"];
        delete?: never;
        options?: never;
        head?: never;
        patch?: never;
        trace?: never;
    };
    "/lessons/{id}/sheets.pdf": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        /**
         * Every maneuver's sheet, one page each.
         * @description Who: chief instructor, instructor, auditor, the lesson's student; also with a token.
         */
        get: operations["files_sheets_pdf"];
        put?: never;
        post?: never;
        delete?: never;
        options?: never;
        head?: never;
        patch?: never;
        trace?: never;
    };
    "/lessons/{id}/sign": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        get?: never;
        put?: never;
        /**
         * Signs the debrief as the signer saw it; 409 when somebody wrote meanwhile, or what it is marked by was changed.
         * @description Who: chief instructor, instructor; not with a token.
         */
        post: operations["word_sign"];
        delete?: never;
        options?: never;
        head?: never;
        patch?: never;
        trace?: never;
    };
    "/lessons/{id}/signed": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        /**
         * Signed versions, oldest first.
         * @description Who: chief instructor, instructor, auditor, the lesson's student; also with a token.
         */
        get: operations["word_signed"];
        put?: never;
        post?: never;
        delete?: never;
        options?: never;
        head?: never;
        patch?: never;
        trace?: never;
    };
    "/lessons/{id}/signed/{version}": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        /**
         * The exact bytes that were signed (`proofwing/signed/1`): their SHA-256 is the digest.
         * @description Who: chief instructor, instructor, auditor, the lesson's student; also with a token.
         */
        get: operations["word_signed_bytes"];
        put?: never;
        post?: never;
        delete?: never;
        options?: never;
        head?: never;
        patch?: never;
        trace?: never;
    };
    "/lessons/{id}/signed/{version}/difference": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        /**
         * What differs between a signed version and another, or what the program computes now.
         * @description Who: chief instructor, instructor, auditor, the lesson's student; also with a token.
         */
        get: operations["word_difference"];
        put?: never;
        post?: never;
        delete?: never;
        options?: never;
        head?: never;
        patch?: never;
        trace?: never;
    };
    "/lessons/{id}/take-back": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        get?: never;
        put?: never;
        /**
         * Takes a lesson back that was set aside: it is in the lists again, as it was.
         * @description Who: chief instructor; also with a token.
         */
        post: operations["lessons_take_back"];
        delete?: never;
        options?: never;
        head?: never;
        patch?: never;
        trace?: never;
    };
    "/maneuvers": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        /**
         * Maneuvers of a kind over lessons, for comparing; a student gets their own and the demonstrations.
         * @description Who: chief instructor, instructor, auditor, student; also with a token.
         */
        get: operations["lessons_maneuvers"];
        put?: never;
        post?: never;
        delete?: never;
        options?: never;
        head?: never;
        patch?: never;
        trace?: never;
    };
    "/me": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        /**
         * Who is signed in and what they may do.
         * @description Who: chief instructor, instructor, auditor, student; also with a token.
         */
        get: operations["account_me"];
        put?: never;
        post?: never;
        delete?: never;
        options?: never;
        head?: never;
        patch?: never;
        trace?: never;
    };
    "/me/password": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        get?: never;
        put?: never;
        /**
         * Changes one's own password. Every other session ends; this one goes on with a new cookie.
         * @description Who: chief instructor, instructor, auditor, student; not with a token.
         */
        post: operations["account_change_password"];
        delete?: never;
        options?: never;
        head?: never;
        patch?: never;
        trace?: never;
    };
    "/openapi.json": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        /**
         * This description.
         * @description Who: Anyone.
         */
        get: operations["status_openapi"];
        put?: never;
        post?: never;
        delete?: never;
        options?: never;
        head?: never;
        patch?: never;
        trace?: never;
    };
    "/people": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        /**
         * Everybody, by name.
         * @description Who: chief instructor, instructor, auditor; also with a token.
         */
        get: operations["people"];
        put?: never;
        post?: never;
        delete?: never;
        options?: never;
        head?: never;
        patch?: never;
        trace?: never;
    };
    "/people/{id}": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        get?: never;
        put?: never;
        post?: never;
        delete?: never;
        options?: never;
        head?: never;
        /**
         * Changes a person's name or role, or whether they may sign in.
         * @description Who: chief instructor; not with a token.
         */
        patch: operations["people_change"];
        trace?: never;
    };
    "/people/{id}/record.zip": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        /**
         * A student's whole record: PDF, JSON, signed versions and the original recordings.
         * @description Who: chief instructor, instructor, auditor, the student themselves; also with a token.
         */
        get: operations["files_record_zip"];
        put?: never;
        post?: never;
        delete?: never;
        options?: never;
        head?: never;
        patch?: never;
        trace?: never;
    };
    "/people/{id}/reset": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        get?: never;
        put?: never;
        /**
         * Makes a link by which a person chooses a new password. It is told this once.
         * @description Who: chief instructor; not with a token.
         */
        post: operations["people_reset"];
        delete?: never;
        options?: never;
        head?: never;
        patch?: never;
        trace?: never;
    };
    "/people/{id}/sessions": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        get?: never;
        put?: never;
        post?: never;
        /**
         * Signs a person out everywhere.
         * @description Who: chief instructor; not with a token.
         */
        delete: operations["people_sign_out_everywhere"];
        options?: never;
        head?: never;
        patch?: never;
        trace?: never;
    };
    "/recordings": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        /**
         * Arrivals, newest first.
         * @description Who: chief instructor, instructor, auditor; also with a token.
         */
        get: operations["recordings_list"];
        put?: never;
        /**
         * Brings a recording in: the file's bytes as they are, at most 512 MB. The same bytes twice are recognized.
         * @description Who: chief instructor, instructor; also with a token.
         */
        post: operations["recordings_bring_in"];
        delete?: never;
        options?: never;
        head?: never;
        patch?: never;
        trace?: never;
    };
    "/recordings/{sha256}": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        /**
         * One recording and how it was read.
         * @description Who: chief instructor, instructor, auditor; also with a token.
         */
        get: operations["recordings_view"];
        put?: never;
        post?: never;
        delete?: never;
        options?: never;
        head?: never;
        patch?: never;
        trace?: never;
    };
    "/recordings/{sha256}/map": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        get?: never;
        /**
         * Says how the columns are to be read; the recording is read anew and the map is kept for files with this header.
         * @description Who: chief instructor, instructor; also with a token.
         */
        put: operations["recordings_map"];
        post?: never;
        delete?: never;
        options?: never;
        head?: never;
        patch?: never;
        trace?: never;
    };
    "/recordings/{sha256}/original": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        /**
         * The bytes as they were received.
         * @description Who: chief instructor, instructor, auditor; also with a token.
         */
        get: operations["recordings_original"];
        put?: never;
        post?: never;
        delete?: never;
        options?: never;
        head?: never;
        patch?: never;
        trace?: never;
    };
    "/recordings/refused": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        /**
         * Files of the watched folder that were not brought in, newest first, each with why.
         * @description Who: chief instructor, instructor, auditor; also with a token.
         */
        get: operations["recordings_refused"];
        put?: never;
        post?: never;
        delete?: never;
        options?: never;
        head?: never;
        patch?: never;
        trace?: never;
    };
    "/remark": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        get?: never;
        put?: never;
        /**
         * Marks every lesson that is not signed anew, in the background; what was signed keeps what was signed.
         * @description Who: chief instructor; also with a token.
         */
        post: operations["jobs_remark"];
        delete?: never;
        options?: never;
        head?: never;
        patch?: never;
        trace?: never;
    };
    "/school": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        get?: never;
        put?: never;
        post?: never;
        delete?: never;
        options?: never;
        head?: never;
        /**
         * Changes the school's name, standard or elevation.
         * @description Who: chief instructor; also with a token.
         */
        patch: operations["people_change_school"];
        trace?: never;
    };
    "/session": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        get?: never;
        put?: never;
        /**
         * Signs in. A wrong password makes the next try from the same address wait; it never shuts out the login elsewhere.
         * @description Who: Anyone.
         */
        post: operations["account_sign_in"];
        /**
         * Signs out here.
         * @description Who: chief instructor, instructor, auditor, student; not with a token.
         */
        delete: operations["account_sign_out"];
        options?: never;
        head?: never;
        patch?: never;
        trace?: never;
    };
    "/sessions": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        /**
         * Where one is signed in.
         * @description Who: chief instructor, instructor, auditor, student; not with a token.
         */
        get: operations["account_sessions"];
        put?: never;
        post?: never;
        /**
         * Signs out everywhere, here too.
         * @description Who: chief instructor, instructor, auditor, student; not with a token.
         */
        delete: operations["account_sign_out_everywhere"];
        options?: never;
        head?: never;
        patch?: never;
        trace?: never;
    };
    "/standards": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        /**
         * Every standard that a lesson may be marked against.
         * @description Who: chief instructor, instructor, auditor, student; also with a token.
         */
        get: operations["standards_list"];
        put?: never;
        post?: never;
        delete?: never;
        options?: never;
        head?: never;
        patch?: never;
        trace?: never;
    };
    "/standards/{id}": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        /**
         * One standard with its tasks, elements and limits.
         * @description Who: chief instructor, instructor, auditor, student; also with a token.
         */
        get: operations["standards_view"];
        /**
         * Puts a school's own standard in force. Errors in the text by line and column (422).
         * @description Who: chief instructor; also with a token.
         */
        put: operations["standards_put"];
        post?: never;
        /**
         * Retires a school's own standard: new lessons cannot use it, what was signed with it stays.
         * @description Who: chief instructor; also with a token.
         */
        delete: operations["standards_retire"];
        options?: never;
        head?: never;
        patch?: never;
        trace?: never;
    };
    "/status": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        /**
         * What anybody may know of this server.
         * @description Who: Anyone.
         */
        get: operations["status"];
        put?: never;
        post?: never;
        delete?: never;
        options?: never;
        head?: never;
        patch?: never;
        trace?: never;
    };
    "/tokens": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        /**
         * One's own tokens that still work.
         * @description Who: chief instructor, instructor, auditor, student; not with a token.
         */
        get: operations["account_tokens"];
        put?: never;
        /**
         * Makes a personal access token for a script. Its secret is told this once.
         * @description Who: chief instructor, instructor, auditor, student; not with a token.
         */
        post: operations["account_make_token"];
        delete?: never;
        options?: never;
        head?: never;
        patch?: never;
        trace?: never;
    };
    "/tokens/{id}": {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        get?: never;
        put?: never;
        post?: never;
        /**
         * Revokes a token.
         * @description Who: chief instructor, instructor, auditor, student; not with a token.
         */
        delete: operations["account_revoke_token"];
        options?: never;
        head?: never;
        patch?: never;
        trace?: never;
    };
}
export type webhooks = Record<string, never>;
export interface components {
    schemas: {
        /** @description What a person did. */
        Act: (components["schemas"]["Setting"] & {
            /** @enum {string} */
            kind: "setting";
        }) | {
            briefed: components["schemas"]["Briefed"];
            /** @enum {string} */
            kind: "briefed";
        } | {
            /** @description docs/corrections.md */
            corrections: components["schemas"]["Correction"][];
            /** @enum {string} */
            kind: "corrections";
        } | {
            /** @description Criterion id. */
            criterion: string;
            /** @description Element code. */
            element: string;
            /** @enum {string} */
            kind: "mark";
            /** @description Where. */
            maneuver: components["schemas"]["ManeuverRef"];
            /** @description Why; needed when it contradicts a decided mark. */
            reason: string;
            verdict: components["schemas"]["Verdict"];
        } | {
            /** @description Criterion id; empty with an empty element. */
            criterion: string;
            /** @description Element code; empty = every mark of the maneuver that is decided. */
            element: string;
            /** @enum {string} */
            kind: "confirm";
            /** @description Where. */
            maneuver: components["schemas"]["ManeuverRef"];
        } | {
            /** @description Criterion id. */
            criterion: string;
            /** @description Element code. */
            element: string;
            /** @enum {string} */
            kind: "unmark";
            /** @description Where. */
            maneuver: components["schemas"]["ManeuverRef"];
        } | {
            /**
             * Format: double
             * @description Moment, s.
             */
            at_s: number;
            /** @description Id, made by the writer (UUID). */
            id: string;
            /** @enum {string} */
            kind: "note";
            /** @description Words. */
            text: string;
        } | {
            /** @description Id. */
            id: string;
            /** @enum {string} */
            kind: "unnote";
        } | {
            /** @enum {string} */
            kind: "summary";
            /** @description What to do next time. */
            next: string;
            /** @description What was done and how it went. */
            text: string;
        } | {
            /** @enum {string} */
            kind: "answer";
            /** @description Where. */
            maneuver: components["schemas"]["ManeuverRef"];
            /** @description Answers. */
            said: components["schemas"]["Said"][];
        } | {
            /** @enum {string} */
            kind: "reply";
            /** @description Words. */
            text: string;
        } | {
            /** @enum {string} */
            kind: "acknowledge";
            /** @description Its digest, so that it is clear what was read. */
            sha256: string;
            /**
             * Format: int64
             * @description Version.
             */
            version: number;
        };
        /** @description An aircraft in a list. */
        AircraftBrief: {
            /** @description In use. */
            active: boolean;
            /** @description When the file last changed. */
            changed_utc: string;
            /** @description One line of its file. */
            description: string;
            /** @description SHA-256 of the file in force. */
            file_sha256: string;
            /** @description Id. */
            id: string;
            /** @description The school's name for it. */
            name: string;
        };
        /** @description A change of an aircraft; what is absent stays. */
        AircraftChange: {
            /** @description In use. */
            active?: boolean | null;
            /** @description The school's name for it. */
            name?: string | null;
            /** @description The file (docs/aircraft-file.md). */
            toml?: string | null;
        };
        /** @description What a check of an aircraft file found, when it can be used. */
        AircraftChecked: {
            /** @description What the file lacks or what looks odd, in words. */
            notices: string[];
        };
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
        /** @description An aircraft file as a person wrote it. */
        AircraftText: {
            /** @description The school's name for the aircraft. */
            name: string;
            /** @description The file (docs/aircraft-file.md). */
            toml: string;
        };
        /** @description An aircraft with its file. */
        AircraftView: components["schemas"]["AircraftBrief"] & {
            /** @description Every file it ever had, newest first. */
            history: components["schemas"]["FileVersion"][];
            /** @description What the file lacks or what looks odd, in words. */
            notices: string[];
            /** @description The file in force (docs/aircraft-file.md). */
            toml: string;
        };
        /** @description What the student said first. */
        Answer: {
            /** @description When. */
            at_utc: string;
            /** @description Who. */
            by: components["schemas"]["PersonBrief"];
            /** @description Which was meant. */
            maneuver: components["schemas"]["ManeuverRef"];
            /**
             * Format: int32
             * @description Number of the maneuver now.
             */
            number?: number | null;
            /** @description Answers. */
            said: components["schemas"]["Said"][];
        };
        /** @description What was asked for in one maneuver, or in all of a kind. */
        Asked: {
            /** @description Altitude, feet by the altimeter. */
            altitude_ft?: number;
            /** @description A time within it, s from the recording's first sample. */
            at_s?: number;
            /** @description Bank, degrees, unsigned. */
            bank_deg?: number;
            /** @description The corners of the field of a rectangular course, in order around it. */
            corners?: number[][];
            /** @description Heading, degrees magnetic. */
            heading_deg?: number;
            /** @description The kind it is for; absent = any kind. */
            kind?: string;
            /** @description Two places on the line that S-turns were to be flown across. */
            line?: number[][];
            /** @description Which one of its kind, 1 = the first. */
            nth?: number;
            /** @description Its number in the debrief, 1 = the first maneuver of the flight. */
            number?: number;
            /** @description The point that turns were to be flown around: latitude and longitude, degrees. */
            point?: number[];
            /** @description Where it was to touch down, feet beyond the runway's threshold. */
            point_ft?: number;
            /** @description The two pylons, in any order. */
            pylons?: number[][];
            recovery?: components["schemas"]["Recovery"];
            /** @description Airspeed, knots indicated. */
            speed_kias?: number;
            /** @description The form that was asked for, e.g. short_field; plain = no particular one, whatever the recording shows. */
            variant?: string;
        };
        /** @description One act, chained to the one before. */
        AuditRow: {
            /** @description What was done, e.g. `lesson.signed`. */
            action: string;
            /** @description When. */
            at_utc: string;
            /** @description Who (person id; empty = the program itself). */
            by_id: string;
            /** @description Their name at the time. */
            by_name: string;
            /** @description Particulars, JSON text. */
            detail: string;
            /** @description SHA-256 of this row, hex. */
            hash: string;
            /** @description SHA-256 of the row before, hex. */
            previous: string;
            /**
             * Format: int64
             * @description Number, 1 = the first.
             */
            seq: number;
            /** @description To what: kind and id, e.g. `lesson 0193…`. */
            subject: string;
        };
        /** @description Everything that was asked for on a flight (docs/briefed-file.md). */
        Briefed: {
            /** @description What was asked for, one entry a maneuver or a kind. */
            maneuver?: components["schemas"]["Asked"][];
            recovery?: components["schemas"]["Recovery"];
            /** @description Runways that were used. */
            runway?: components["schemas"]["Runway"][];
        };
        /** @description What a person may do with a lesson. */
        Can: {
            /** @description Give the instructor's word: marks, corrections, notes, briefing, summary. */
            judge: boolean;
            /** @description Answer first, reply, acknowledge: it is their lesson. */
            reply: boolean;
            /** @description Sign. */
            sign: boolean;
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
        /** @description One correction of what was recognized (docs/corrections.md). */
        Correction: {
            /** @description Which way; none = as the flight shows. */
            direction?: string | null;
            /** @enum {string} */
            do: "set";
            /** @description End, s. */
            end_s: number;
            /** @description Kind id. */
            kind: string;
            /** @description Start, s from the recording's first sample. */
            start_s: number;
            /** @description The maneuver that it replaces; none = it was not found at all. */
            was?: null | components["schemas"]["Was"];
        } | {
            /** @enum {string} */
            do: "remove";
            was: components["schemas"]["Was"];
        };
        /** @description A criterion. */
        CriterionView: {
            /** @description Only a person can judge. */
            for_instructor: boolean;
            /** @description Id. */
            id: string;
            /** @description Limit in words with its unit, e.g. `± 10 deg`; empty = none. */
            limit: string;
            /** @description Remark. */
            note: string;
            /** @description `published`, `assumed`, …. */
            origin: string;
            /** @description Quantity in words. */
            quantity: string;
        };
        /** @description A whole debrief. */
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
        /** @description A login of a demo school. */
        DemoLogin: {
            /** @description Login. */
            login: string;
            /** @description The invented person's name. */
            name: string;
            /** @description Password. */
            password: string;
            /** @description Role in words. */
            role: string;
        };
        /** @description The logins of an invented demo school. */
        DemoLogins: {
            /** @description Each of them. */
            logins: components["schemas"]["DemoLogin"][];
        };
        /** @description One difference between two debriefs of the same flight. */
        Difference: {
            /** @description What it is; empty when it is gone. */
            after: string;
            /** @description What it was, in words with numbers and units; empty when it was not there. */
            before: string;
            /** @description Criterion of a mark; id of a finding. */
            criterion?: string | null;
            /** @description Element code of a mark, as it is now. */
            element?: string | null;
            /** @description Title and time of the maneuver (as it is now, or as it was when it is gone); none = the whole flight. */
            maneuver?: string | null;
            /** @description All of it in one sentence. */
            sentence: string;
            /**
             * Format: double
             * @description Its start, s, by the same rule.
             */
            start_s?: number | null;
            /**
             * @description What changed. Of the flight: `standard`, `aircraft`, `speed`. Of a maneuver: `added`, `removed`, `kind`,
             *     `direction`, `start`, `end`, `set_by`, `task`, `recovery`, `mark` (another answer), `value` (the same answer,
             *     another worst value), `limit`, `criterion_added`, `criterion_removed`, `finding_added`,
             *     `finding_removed`.
             */
            what: string;
        };
        /** @description An element. */
        ElementView: {
            /** @description Full code, e.g. `PA.VII.B.S6`. */
            code: string;
            /** @description Criteria in words: id, quantity, limit with unit, origin, and whether only a person can judge. */
            criteria: components["schemas"]["CriterionView"][];
            /** @description What it asks for. */
            skill: string;
        };
        /** @description An act with who, when and its place in the row of acts. */
        Entry: {
            /** @description What. */
            act: components["schemas"]["Act"];
            /** @description When. */
            at_utc: string;
            /** @description Who. */
            by: components["schemas"]["PersonBrief"];
            /** @description Id. */
            id: string;
            /**
             * Format: int64
             * @description 1, 2, … within the lesson.
             */
            seq: number;
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
        /** @description Something wrong in a file that a person wrote. */
        FileProblem: {
            /** @description 1-based column. */
            column: number;
            /** @description 1-based line, 0 = the whole file. */
            line: number;
            /** @description What, and how to mend it. */
            message: string;
        };
        /** @description One text that was in force. */
        FileVersion: {
            /** @description When. */
            at_utc: string;
            /** @description Who put it there. */
            by: string;
            /** @description SHA-256 of the text. */
            sha256: string;
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
        /** @description The first account: the chief instructor's. */
        FirstRun: {
            /** @description The code printed where the server was started, when `Status.first_run_code` asks for it. */
            code?: string | null;
            /** @description What they will sign in with. */
            login: string;
            /** @description Name of the chief instructor. */
            name: string;
            /** @description Their password. */
            password: string;
            /** @description Name of the school. */
            school: string;
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
        /** @description A kind of maneuver in a lesson. */
        Flown: {
            /**
             * Format: int32
             * @description How many.
             */
            count: number;
            /** @description Kind id. */
            kind: string;
            /** @description Name for people. */
            title: string;
        };
        /** @description A mark by a person. */
        GivenMark: {
            /** @description When. */
            at_utc: string;
            /** @description Who. */
            by: components["schemas"]["PersonBrief"];
            /** @description Criterion id. */
            criterion: string;
            /** @description Element code. */
            element: string;
            /** @description `confirmed`, `changed` or `given` (an item that only a person can judge). */
            how: string;
            /** @description Which maneuver was meant. */
            maneuver: components["schemas"]["ManeuverRef"];
            /**
             * Format: int32
             * @description Number of the maneuver in the debrief as it is now; none = no such maneuver now.
             */
            number?: number | null;
            /** @description The program's verdict now; none = it no longer marks this. */
            program?: null | components["schemas"]["Verdict"];
            /** @description The program's verdict when the person spoke, where it differs from now. */
            program_then?: null | components["schemas"]["Verdict"];
            /** @description Why. */
            reason: string;
            /** @description The person's verdict (the program's own when only confirmed). */
            verdict: components["schemas"]["Verdict"];
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
        /** @description What bringing a file in gave. */
        Imported: {
            /** @description The same bytes were here before; nothing was made twice. */
            known: boolean;
            /** @description Lessons made of it (or found, when known). */
            lessons: components["schemas"]["LessonBrief"][];
            /** @description The recording. */
            recording: components["schemas"]["RecordingView"];
        };
        /** @description A link that lets a person in, or lets them choose a new password. */
        Invite: {
            /** @description Until when it works. */
            expires_utc: string;
            /** @description Id. */
            id: string;
            /** @description Who made it. */
            made_by: string;
            /** @description When. */
            made_utc: string;
            /** @description Name. */
            name: string;
            /** @description `join` or `reset`. */
            purpose: string;
            /** @description Role they will have. */
            role: components["schemas"]["Role"];
            /** @description When it was used. */
            used_utc?: string | null;
        };
        /** @description An invite with its link, told once. */
        InviteMade: {
            /** @description The invite. */
            invite: components["schemas"]["Invite"];
            /** @description Path of the link, from `/`. */
            link_path: string;
        };
        /** @description Using a link. */
        InviteUse: {
            /** @description Login, when joining. */
            login?: string | null;
            /** @description Name, when joining; absent = as the inviter wrote it. */
            name?: string | null;
            /** @description The password they choose. */
            password: string;
        };
        /** @description What a link is for, as the one who holds it sees it. */
        InviteView: {
            /** @description Until when the link works. */
            expires_utc: string;
            /** @description Name as the inviter wrote it. */
            name: string;
            /** @description `join` or `reset`. */
            purpose: string;
            /** @description Role they will have, or have. */
            role: components["schemas"]["Role"];
            /** @description School. */
            school: string;
        };
        /** @description A long work in the background. */
        Job: {
            /** @description Last step. */
            changed_utc: string;
            /**
             * Format: int64
             * @description Pieces done.
             */
            done: number;
            /**
             * Format: int64
             * @description Pieces that could not be done.
             */
            failed: number;
            /** @description Id. */
            id: string;
            /** @description `remark`. */
            kind: string;
            /** @description When it was asked for. */
            made_utc: string;
            /** @description Why it runs, or what went wrong. */
            note: string;
            /** @description `waiting`, `running`, `done`, `stopped`. */
            state: string;
            /**
             * Format: int64
             * @description Pieces in all.
             */
            total: number;
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
        /** @description A lesson in a list. */
        LessonBrief: {
            /** @description Aircraft name. */
            aircraft?: string | null;
            /** @description Aircraft id. */
            aircraft_id?: string | null;
            /** @description Flown by the instructor to show it. */
            demonstration: boolean;
            /**
             * Format: double
             * @description Length, s.
             */
            duration_s: number;
            /** @description What was flown: kind id and how many, in order of first appearance. */
            flown: components["schemas"]["Flown"][];
            /** @description Which of `student`, `instructor`, `aircraft` are guesses that nobody confirmed. */
            guessed: string[];
            /** @description Id. */
            id: string;
            instructor?: components["schemas"]["PersonBrief"] | null;
            /**
             * Format: int32
             * @description Which flight of the recording, 0 = the first.
             */
            part: number;
            /** @description The recording. */
            recording_sha256: string;
            /** @description Standard (pack id). */
            standard: string;
            /** @description Whether `start_utc` is from the recording. */
            start_known: boolean;
            /** @description UTC of the first sample, if the recording tells; else when it was received. */
            start_utc: string;
            /** @description State. */
            state: components["schemas"]["LessonState"];
            student?: components["schemas"]["PersonBrief"] | null;
            /** @description Title, e.g. `Stalls, straight and turning`; the program proposes one from what was flown. */
            title: string;
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
        /**
         * @description How far a lesson's debrief is.
         * @enum {string}
         */
        LessonState: "to_confirm" | "open" | "signed" | "changed_since_signed" | "acknowledged" | "set_aside";
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
        /** @description Everything that the debrief room shows of a lesson (the series come apart, as a binary). */
        LessonView: {
            /** @description What was asked for, as JSON of the briefing file. */
            briefed: components["schemas"]["Briefed"];
            /** @description What the person who asks may do here. */
            can: components["schemas"]["Can"];
            /** @description What is different now from the last signed version. */
            changes_since_signing: components["schemas"]["Difference"][];
            /** @description Corrections of recognition in force (docs/corrections.md). */
            corrections: components["schemas"]["Correction"][];
            /** @description The document `proofwing/debrief/1` as the program computes it now. */
            debrief: components["schemas"]["Debrief"];
            /**
             * Format: int64
             * @description Number of the last entry: sent back when signing, so that nobody signs what they have not seen.
             */
            entry_seq: number;
            /** @description SHA-256 of everything the debrief was computed from. */
            inputs_sha256: string;
            /** @description In short. */
            lesson: components["schemas"]["LessonBrief"];
            /** @description Signed versions, oldest first. */
            signed: components["schemas"]["SignedBrief"][];
            /**
             * Format: double
             * @description Elevation used below the practice area, ft.
             */
            terrain_ft?: number | null;
            /** @description What people said. */
            word: components["schemas"]["Word"];
        };
        /** @description A maneuver in a list over lessons, for comparing. */
        ManeuverBrief: {
            /** @description Instructor's demonstration. */
            demonstration: boolean;
            /**
             * Format: double
             * @description End, s.
             */
            end_s: number;
            /** @description Kind id. */
            kind: string;
            /** @description Lesson. */
            lesson_id: string;
            /** @description Marks by verdict id. */
            marks: {
                [key: string]: number;
            };
            /**
             * Format: int32
             * @description Number in the debrief.
             */
            number: number;
            /**
             * Format: double
             * @description Start, s from the first sample.
             */
            start_s: number;
            /** @description UTC of its start. */
            start_utc: string;
            student?: components["schemas"]["PersonBrief"] | null;
            /** @description Title. */
            title: string;
            /** @description Form whose task marked it (`short_field`); absent = no particular one. */
            variant?: string | null;
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
        /** @description The picture of a maneuver's kind. */
        ManeuverPicture: {
            narrow?: components["schemas"]["PictureDrawing"] | null;
            wide?: components["schemas"]["PictureDrawing"] | null;
        };
        /** @description Which maneuver is meant: the one of this kind with the greatest overlap in time. */
        ManeuverRef: {
            /**
             * Format: double
             * @description End, s.
             */
            end_s: number;
            /** @description Kind id. */
            kind: string;
            /**
             * Format: double
             * @description Start, s.
             */
            start_s: number;
        };
        /** @description One correction of how a column is read. */
        MapColumn: {
            /** @description Channel id, `time` or `ignore`. */
            channel: string;
            /** @description Column name, or `#3` for the third. */
            column: string;
            /** @description Unit, where the file does not say. */
            unit?: string | null;
        };
        /** @description How the columns of a recording are to be read; kept for every file with the same header. */
        MapText: {
            /** @description Columns. */
            entries: components["schemas"]["MapColumn"][];
            /** @description Name of the map. */
            name: string;
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
        /** @description Who is signed in and what they may do. */
        Me: {
            /** @description What their role allows. */
            permissions: components["schemas"]["Permissions"];
            /** @description The person. */
            person: components["schemas"]["Person"];
            /** @description The school. */
            school: components["schemas"]["School"];
        };
        /** @description One act on a lesson. */
        NewEntry: {
            /** @description What the person does. */
            act: components["schemas"]["Act"];
            /**
             * Format: int64
             * @description `LessonView.entry_seq` as the person saw it; then 409 when somebody wrote meanwhile. Absent = whatever it is.
             */
            expected_entry_seq?: number | null;
        };
        /** @description A new invite. */
        NewInvite: {
            /** @description Name. */
            name: string;
            /** @description Role. */
            role: components["schemas"]["Role"];
        };
        /** @description A new personal access token. */
        NewToken: {
            /**
             * Format: int32
             * @description How many days it works, 1 to 366.
             */
            days: number;
            /** @description What it is for. */
            label: string;
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
        /** @description A new password. */
        PasswordChange: {
            /** @description The new one. */
            new: string;
            /** @description The password until now. */
            old: string;
        };
        /** @description What a role allows; the server checks each request again. */
        Permissions: {
            /** @description Brings recordings in. */
            bring_in: boolean;
            /** @description Gives the instructor's word and signs. */
            judge: boolean;
            /** @description Changes aircraft files. */
            manage_aircraft: boolean;
            /** @description Invites people, changes roles, resets passwords. */
            manage_people: boolean;
            /** @description Changes standards and the school's own settings, starts re-marking, sets lessons aside. */
            manage_standards: boolean;
            /** @description Sees every lesson of the school, not only their own. */
            read_all: boolean;
            /** @description Reads the audit trail. */
            read_audit: boolean;
        };
        /** @description A person of the school. */
        Person: {
            /** @description May sign in. */
            active: boolean;
            /** @description Since when. */
            created_utc: string;
            /** @description Id. */
            id: string;
            /** @description What they sign in with, lower case. */
            login: string;
            /** @description Name for people. */
            name: string;
            /** @description Role. */
            role: components["schemas"]["Role"];
            /** @description Last seen, from the sessions; none = never signed in. */
            seen_utc?: string | null;
        };
        /** @description A person as other pages name them. */
        PersonBrief: {
            /** @description Id. */
            id: string;
            /** @description Name. */
            name: string;
            /** @description Role. */
            role: components["schemas"]["Role"];
        };
        /** @description A change of a person; what is absent stays. */
        PersonChange: {
            /** @description May sign in. */
            active?: boolean | null;
            /** @description Name. */
            name?: string | null;
            role?: components["schemas"]["Role"] | null;
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
        /** @description A drawing, px of 1/96 in; x right, y down. */
        PictureDrawing: {
            /** @description What it says, for who cannot see it. */
            description: string;
            /**
             * Format: double
             * @description Height, px.
             */
            height: number;
            /** @description What is drawn, back to front. */
            items: components["schemas"]["PictureItem"][];
            /** @description What it is. */
            title: string;
            /**
             * Format: double
             * @description Width, px.
             */
            width: number;
        };
        /** @description One thing drawn. Inks are roles of the palette (docs/looks.md): `ink`, `ink2`, `band`, … */
        PictureItem: {
            /** @description SVG path data. */
            d: string;
            /** @description Whether the line is dashed. */
            dashed: boolean;
            /** @description Ink of the area. */
            fill?: string | null;
            /** @enum {string} */
            kind: "path";
            /** @description Ink of the line. */
            stroke?: string | null;
            /**
             * Format: double
             * @description Width of the line, px.
             */
            stroke_width?: number | null;
        } | {
            /** @description Weight 600. */
            bold: boolean;
            /** @description Ink. */
            ink: string;
            /** @enum {string} */
            kind: "words";
            /**
             * Format: double
             * @description Size, px.
             */
            size: number;
            /** @description The words. */
            text: string;
            /**
             * Format: double
             * @description Left end of the base line, px.
             */
            x: number;
            /**
             * Format: double
             * @description Base line, px.
             */
            y: number;
        };
        /** @description A note. */
        PinnedNote: {
            /**
             * Format: double
             * @description Moment, s.
             */
            at_s: number;
            /** @description When. */
            at_utc: string;
            /** @description Who. */
            by: components["schemas"]["PersonBrief"];
            /** @description Id. */
            id: string;
            /** @description Words. */
            text: string;
        };
        /** @description What went wrong. */
        Problem: {
            /** @description Stable word for machines. */
            code: string;
            /** @description The field that is meant. */
            field?: string | null;
            /** @description How to mend it. */
            hint?: string | null;
            /** @description Where the log says more of a failure inside the program. */
            log_id?: string | null;
            /** @description What, for people. */
            message: string;
            /** @description Errors in a file that a person wrote, by line and column. */
            problems?: components["schemas"]["FileProblem"][];
        };
        /** @description How a column was understood. */
        ReadColumn: {
            /** @description Why we think so. */
            because: string;
            /** @description Used for its channel. */
            chosen: boolean;
            /**
             * Format: double
             * @description 0 to 1.
             */
            confidence: number;
            /**
             * Format: double
             * @description Largest value.
             */
            high?: number | null;
            /**
             * Format: double
             * @description Smallest value, in the file's unit.
             */
            low?: number | null;
            /** @description Name in the file. */
            name: string;
            /**
             * Format: int32
             * @description 1-based number.
             */
            number: number;
            /** @description Channel id, `time`, `text`, `empty` or `other`. */
            taken_for: string;
            /** @description Unit. */
            unit: string;
            /** @description `written`, `by the numbers`, `map` or empty. */
            unit_origin: string;
        };
        /** @description How a recording was read, for a person to check. */
        Reading: {
            /** @description Every column. */
            columns: components["schemas"]["ReadColumn"][];
            /** @description `plain`, `gzip`, `zip (member NAME)`. */
            container: string;
            /**
             * Format: int64
             * @description Flights found.
             */
            flights: number;
            /** @description `table` or `GPX 1.1`. */
            format: string;
            /** @description Holes, s. */
            gaps: [
                number,
                number
            ][];
            /** @description Fingerprint of the header, by which a map is remembered. */
            header_signature: string;
            /** @description Name of the map that was used, if one was. */
            map?: string | null;
            /** @description Odd things: line, column, what, what was done. */
            notes: components["schemas"]["ReadNote"][];
            /**
             * Format: int64
             * @description Notes beyond the list's limit.
             */
            notes_dropped: number;
            /**
             * Format: int64
             * @description Rows kept.
             */
            rows_kept: number;
            /**
             * Format: int64
             * @description Rows left out.
             */
            rows_lost: number;
            /** @description How the time was understood. */
            time: components["schemas"]["ReadTime"];
            /** @description A column or the time is unsure: a person should confirm. */
            unsure: boolean;
        };
        /** @description Something odd in a file. */
        ReadNote: {
            /**
             * Format: int32
             * @description 1-based column, 0 = the line.
             */
            column: number;
            /** @description What was done about it. */
            done: string;
            /**
             * Format: int64
             * @description 1-based line, 0 = the file.
             */
            line: number;
            /** @description What. */
            what: string;
        };
        /** @description How the time was understood. */
        ReadTime: {
            /**
             * Format: double
             * @description 0 to 1.
             */
            confidence: number;
            /** @description In words. */
            how: string;
            /**
             * Format: double
             * @description Median interval, s.
             */
            interval_s: number;
            /**
             * Format: double
             * @description Length, s.
             */
            length_s: number;
            /** @description UTC of the first sample; empty when the file does not tell. */
            start_utc: string;
        };
        /** @description A recording in a list. */
        RecordingBrief: {
            /** @description Who brought it. */
            by: components["schemas"]["PersonBrief"];
            /**
             * Format: int64
             * @description Size.
             */
            bytes: number;
            /** @description Lessons made of it. */
            lessons: string[];
            /** @description File name as received. */
            name: string;
            /** @description When it came. */
            received_utc: string;
            /** @description SHA-256 of the bytes, hex: its name in the record. */
            sha256: string;
            /** @description A person should look at how it was read. */
            unsure: boolean;
            /** @description `page`, `command` or `folder`. */
            via: string;
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
        /** @description A recording with how it was read. */
        RecordingView: components["schemas"]["RecordingBrief"] & {
            /** @description How it was read. */
            reading: components["schemas"]["Reading"];
        };
        /**
         * @description Where a stall's recovery was to begin.
         * @enum {string}
         */
        Recovery: "full_stall" | "first_indication";
        /** @description A file of the watched folder that was not brought in. */
        Refused: {
            /** @description When it was told. */
            at_utc: string;
            /** @description In whose name the folder is watched. */
            by_name: string;
            /**
             * Format: int64
             * @description Size.
             */
            bytes: number;
            /** @description File name. */
            name: string;
            /** @description It is tried again by itself. */
            tried_again: boolean;
            /** @description Why, in words. */
            why: string;
        };
        /** @description The student's words. */
        Reply: {
            /** @description When. */
            at_utc: string;
            /** @description Who. */
            by: components["schemas"]["PersonBrief"];
            /** @description Words. */
            text: string;
        };
        /** @description A link to choose a new password, told once. */
        ResetLink: {
            /** @description Until when it works. */
            expires_utc: string;
            /** @description Path of the link, from `/`. */
            link_path: string;
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
        /**
         * @description What a person may do.
         * @enum {string}
         */
        Role: "chief" | "instructor" | "student" | "auditor";
        /** @description A runway by its two ends; each landing shows which of them is its threshold. */
        Runway: {
            /** @description Feet above mean sea level. */
            elevation_ft?: number;
            /** @description One end: latitude and longitude, degrees, north and east positive. */
            from: number[];
            /** @description One end: latitude and longitude, degrees, north and east positive. */
            to: number[];
        };
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
        /** @description One thing that the student said. */
        Said: {
            /** @description A choice, e.g. a criterion id or `none`. */
            choice?: string | null;
            /** @description Question id: `height_lost`, `limit_broken`, `why`, …. */
            question: string;
            /** @description Words. */
            text?: string | null;
            /** @description Its unit. */
            unit?: string | null;
            /**
             * Format: double
             * @description A number.
             */
            value?: number | null;
        };
        /** @description The school. */
        School: {
            /** @description Since when. */
            created_utc: string;
            /** @description Name. */
            name: string;
            /** @description Standard for a lesson that names none. */
            standard: string;
            /**
             * Format: double
             * @description Elevation below the practice area, ft above sea level, where the lesson names none.
             */
            terrain_ft?: number | null;
        };
        /** @description A change of the school's settings; what is absent stays. */
        SchoolChange: {
            /** @description Name. */
            name?: string | null;
            /** @description Standard for a lesson that names none (pack id). */
            standard?: string | null;
            /**
             * Format: double
             * @description Elevation below the practice area, ft above sea level; `null` takes it away.
             */
            terrain_ft?: number | null;
        };
        /** @description A place where a person is signed in. */
        Session: {
            /** @description Signed in when. */
            created_utc: string;
            /** @description Browser and system in words, as far as told. */
            device: string;
            /** @description Last seen. */
            seen_utc: string;
            /** @description The session that asks. */
            this: boolean;
        };
        /** @description Why a lesson is set aside. */
        SetAside: {
            /** @description Why it is no lesson. */
            reason: string;
        };
        /** @description A change of a lesson's header; what is absent stays. */
        Setting: {
            /** @description Aircraft id. */
            aircraft_id?: string | null;
            /** @description Instructor's demonstration. */
            demonstration?: boolean | null;
            /** @description Instructor (person id). */
            instructor_id?: string | null;
            /** @description Pack id. */
            standard?: string | null;
            /** @description Student (person id). */
            student_id?: string | null;
            /**
             * Format: double
             * @description Elevation below the practice area, ft above sea level; `null` = the school's again.
             */
            terrain_ft?: number | null;
            /** @description Title. */
            title?: string | null;
        };
        /** @description Signing a lesson's debrief. */
        Sign: {
            /**
             * Format: int64
             * @description `LessonView.entry_seq` as the signer saw it: nobody signs what they have not seen.
             */
            expected_entry_seq: number;
            /**
             * @description `LessonView.inputs_sha256` as the signer saw it; then 409 when what the lesson is marked by was changed since
             *     (aircraft file, standard, map, elevation, program). Absent = whatever it is.
             */
            expected_inputs_sha256?: string | null;
            /** @description The signer's password, once more. */
            password: string;
        };
        /** @description A signed version in short. */
        SignedBrief: {
            /** @description When the student acknowledged this version. */
            acknowledged_utc?: string | null;
            /** @description When. */
            at_utc: string;
            /** @description Who signed. */
            by: components["schemas"]["PersonBrief"];
            /** @description Digest of the version before. */
            previous_sha256?: string | null;
            /** @description SHA-256 of the signed bytes, hex. */
            sha256: string;
            /**
             * Format: int64
             * @description 1, 2, …
             */
            version: number;
        };
        /** @description Signing in. */
        SignIn: {
            /** @description Login. */
            login: string;
            /** @description Password. */
            password: string;
        };
        /** @description A square matrix, row by row. */
        Square: {
            cells: number[];
            /** Format: uint */
            size: number;
        };
        /** @description A pack in a list. */
        StandardBrief: {
            /** @description Date of the edition, in words. */
            date: string;
            /** @description Edition. */
            edition: string;
            /** @description Pack id. */
            id: string;
            /** @description Comes with the program, or the school's own. */
            school_pack: boolean;
            /** @description SHA-256 of the text in force. */
            sha256: string;
            /** @description Title. */
            title: string;
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
        /** @description A school's own standard as a person wrote it. */
        StandardText: {
            /** @description The pack (docs/standards.md). */
            toml: string;
        };
        /** @description A pack with its tasks. */
        StandardView: components["schemas"]["StandardBrief"] & {
            /** @description Full title of the published document. */
            document: string;
            /** @description Tasks of the document that the pack leaves out, with the reason. */
            missing: string[];
            /** @description Where the numbers stand. */
            source: string;
            /** @description Tasks. */
            tasks: components["schemas"]["TaskView"][];
            /** @description The pack's text. */
            toml: string;
        };
        /** @description What anybody may know of this server. */
        Status: {
            /** @description Safety words. */
            caution: string;
            demo?: components["schemas"]["DemoLogins"] | null;
            /** @description Nobody has an account yet: the first one is made at `/first-run`. */
            first_run: boolean;
            /** @description The first account needs the code that was printed where the server was started (it is open to the network). */
            first_run_code: boolean;
            /** @description The school's name; none before the first account. */
            school?: string | null;
            /** @description Version of the program. */
            version: string;
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
        /** @description The lesson's summary. */
        Summary: {
            /** @description When. */
            at_utc: string;
            /** @description Who. */
            by: components["schemas"]["PersonBrief"];
            /** @description Next time. */
            next: string;
            /** @description How it went. */
            text: string;
        };
        /** @description A task. */
        TaskView: {
            /** @description Code. */
            code: string;
            /** @description Elements. */
            elements: components["schemas"]["ElementView"][];
            /** @description Kind id. */
            kind: string;
            /** @description Title. */
            title: string;
            /** @description Form that the task is for (`short_field`); absent = no particular one. */
            variant?: string | null;
        };
        /** @description A personal access token, without its secret. */
        Token: {
            /** @description When it was made. */
            created_utc: string;
            /** @description Until when it works. */
            expires_utc: string;
            /** @description Id. */
            id: string;
            /** @description What it is for, in the owner's words. */
            label: string;
            /** @description Last use. */
            used_utc?: string | null;
        };
        /** @description A token with its secret, told once. */
        TokenMade: {
            /** @description The secret: `pw_` and 43 letters and digits. */
            secret: string;
            /** @description The token. */
            token: components["schemas"]["Token"];
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
        /** @description What a check of the record found. */
        Verified: {
            /** @description Hash of the last row: written down elsewhere, it proves that nothing was cut off. */
            audit_head: string;
            /**
             * Format: int64
             * @description Rows of the audit trail that were checked.
             */
            audit_rows: number;
            /** @description Everything that does not fit, in words, with where; empty = the record holds. */
            problems: string[];
            /**
             * Format: int64
             * @description Recordings whose bytes fit their name.
             */
            recordings: number;
            /**
             * Format: int64
             * @description Signed versions whose bytes fit their digest and their predecessor.
             */
            signed_versions: number;
        };
        /** @description The maneuver that a correction speaks of: the one of this kind with the greatest overlap. */
        Was: {
            /** @description End, s. */
            end_s: number;
            /** @description Kind id. */
            kind: string;
            /** @description Start, s from the recording's first sample. */
            start_s: number;
        };
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
        /** @description One thing done otherwise, in the units of people. */
        WhatIfChange: {
            /**
             * Format: double
             * @description Climb at this indicated airspeed, kt; absent = as flown.
             * @default null
             */
            climb_kias?: number | null;
            /**
             * @description Flaps one detent at a time.
             * @default false
             */
            flaps_in_steps?: boolean;
            /**
             * @description Full power.
             * @default false
             */
            full_power?: boolean;
            /**
             * Format: double
             * @description Half of the power so long after the unloading, s; absent = as flown.
             * @default null
             */
            power_s?: number | null;
            /**
             * Format: double
             * @description Unloaded so long after the stall, s; absent = as flown.
             * @default null
             */
            unload_s?: number | null;
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
        /** @description Everything people said of a lesson, as it stands now. */
        Word: {
            /** @description What the student said before seeing the numbers. */
            answers: components["schemas"]["Answer"][];
            /** @description Marks that a person confirmed, changed or gave. */
            marks: components["schemas"]["GivenMark"][];
            /** @description Notes in order of time. */
            notes: components["schemas"]["PinnedNote"][];
            /** @description The student's replies. */
            replies: components["schemas"]["Reply"][];
            summary?: components["schemas"]["Summary"] | null;
        };
    };
    responses: never;
    parameters: never;
    requestBodies: never;
    headers: never;
    pathItems: never;
}
export type $defs = Record<string, never>;
export interface operations {
    aircraft_list: {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        requestBody?: never;
        responses: {
            200: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/json": components["schemas"]["AircraftBrief"][];
                };
            };
            /** @description What went wrong, and how to mend it. */
            default: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/json": components["schemas"]["Problem"];
                };
            };
        };
    };
    aircraft_add: {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        requestBody: {
            content: {
                "application/json": components["schemas"]["AircraftText"];
            };
        };
        responses: {
            200: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/json": components["schemas"]["AircraftView"];
                };
            };
            /** @description What went wrong, and how to mend it. */
            default: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/json": components["schemas"]["Problem"];
                };
            };
        };
    };
    aircraft_view: {
        parameters: {
            query?: never;
            header?: never;
            path: {
                /** @description Aircraft id */
                id: string;
            };
            cookie?: never;
        };
        requestBody?: never;
        responses: {
            200: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/json": components["schemas"]["AircraftView"];
                };
            };
            /** @description What went wrong, and how to mend it. */
            default: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/json": components["schemas"]["Problem"];
                };
            };
        };
    };
    aircraft_change: {
        parameters: {
            query?: never;
            header?: never;
            path: {
                /** @description Aircraft id */
                id: string;
            };
            cookie?: never;
        };
        requestBody: {
            content: {
                "application/json": components["schemas"]["AircraftChange"];
            };
        };
        responses: {
            200: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/json": components["schemas"]["AircraftView"];
                };
            };
            /** @description What went wrong, and how to mend it. */
            default: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/json": components["schemas"]["Problem"];
                };
            };
        };
    };
    aircraft_check: {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        requestBody: {
            content: {
                "application/json": components["schemas"]["AircraftText"];
            };
        };
        responses: {
            200: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/json": components["schemas"]["AircraftChecked"];
                };
            };
            /** @description What went wrong, and how to mend it. */
            default: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/json": components["schemas"]["Problem"];
                };
            };
        };
    };
    audit_rows: {
        parameters: {
            query?: {
                /** @description Only those before this number, for the next page. */
                before?: number;
                /** @description At most so many. */
                limit?: number;
            };
            header?: never;
            path?: never;
            cookie?: never;
        };
        requestBody?: never;
        responses: {
            200: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/json": components["schemas"]["AuditRow"][];
                };
            };
            /** @description What went wrong, and how to mend it. */
            default: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/json": components["schemas"]["Problem"];
                };
            };
        };
    };
    audit_verify: {
        parameters: {
            query?: {
                /** @description `Verified.audit_head` as it was written down once, e.g. on paper: rows cut off since are then found too. */
                head?: string;
            };
            header?: never;
            path?: never;
            cookie?: never;
        };
        requestBody?: never;
        responses: {
            200: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/json": components["schemas"]["Verified"];
                };
            };
            /** @description What went wrong, and how to mend it. */
            default: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/json": components["schemas"]["Problem"];
                };
            };
        };
    };
    status_first_run: {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        requestBody: {
            content: {
                "application/json": components["schemas"]["FirstRun"];
            };
        };
        responses: {
            200: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/json": components["schemas"]["Me"];
                };
            };
            /** @description What went wrong, and how to mend it. */
            default: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/json": components["schemas"]["Problem"];
                };
            };
        };
    };
    invites_list: {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        requestBody?: never;
        responses: {
            200: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/json": components["schemas"]["Invite"][];
                };
            };
            /** @description What went wrong, and how to mend it. */
            default: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/json": components["schemas"]["Problem"];
                };
            };
        };
    };
    invites_make: {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        requestBody: {
            content: {
                "application/json": components["schemas"]["NewInvite"];
            };
        };
        responses: {
            200: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/json": components["schemas"]["InviteMade"];
                };
            };
            /** @description What went wrong, and how to mend it. */
            default: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/json": components["schemas"]["Problem"];
                };
            };
        };
    };
    invites_view: {
        parameters: {
            query?: never;
            header?: never;
            path: {
                /** @description The secret of the link */
                token: string;
            };
            cookie?: never;
        };
        requestBody?: never;
        responses: {
            200: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/json": components["schemas"]["InviteView"];
                };
            };
            /** @description What went wrong, and how to mend it. */
            default: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/json": components["schemas"]["Problem"];
                };
            };
        };
    };
    invites_accept: {
        parameters: {
            query?: never;
            header?: never;
            path: {
                /** @description The secret of the link */
                token: string;
            };
            cookie?: never;
        };
        requestBody: {
            content: {
                "application/json": components["schemas"]["InviteUse"];
            };
        };
        responses: {
            200: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/json": components["schemas"]["Me"];
                };
            };
            /** @description What went wrong, and how to mend it. */
            default: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/json": components["schemas"]["Problem"];
                };
            };
        };
    };
    invites_withdraw: {
        parameters: {
            query?: never;
            header?: never;
            path: {
                /** @description The invitation's id */
                token: string;
            };
            cookie?: never;
        };
        requestBody?: never;
        responses: {
            204: {
                headers: {
                    [name: string]: unknown;
                };
                content?: never;
            };
            /** @description What went wrong, and how to mend it. */
            default: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/json": components["schemas"]["Problem"];
                };
            };
        };
    };
    jobs: {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        requestBody?: never;
        responses: {
            200: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/json": components["schemas"]["Job"][];
                };
            };
            /** @description What went wrong, and how to mend it. */
            default: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/json": components["schemas"]["Problem"];
                };
            };
        };
    };
    lessons_list: {
        parameters: {
            query?: {
                /** @description Only those before this lesson (id) or time, for the next page. */
                before?: string;
                /** @description Only demonstrations (true), or only lessons that are none (false). */
                demonstration?: boolean;
                /** @description Instructor (person id). */
                instructor?: string;
                /** @description Kind of maneuver that was flown. */
                kind?: string;
                /** @description At most so many (200 unless told, 1,000 at most). */
                limit?: number;
                /** @description State. Lessons that were set aside come only when asked for. */
                state?: components["schemas"]["LessonState"];
                /** @description Student (person id). */
                student?: string;
            };
            header?: never;
            path?: never;
            cookie?: never;
        };
        requestBody?: never;
        responses: {
            200: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/json": components["schemas"]["LessonBrief"][];
                };
            };
            /** @description What went wrong, and how to mend it. */
            default: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/json": components["schemas"]["Problem"];
                };
            };
        };
    };
    lessons_view: {
        parameters: {
            query?: never;
            header?: never;
            path: {
                /** @description Lesson id */
                id: string;
            };
            cookie?: never;
        };
        requestBody?: never;
        responses: {
            200: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/json": components["schemas"]["LessonView"];
                };
            };
            /** @description What went wrong, and how to mend it. */
            default: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/json": components["schemas"]["Problem"];
                };
            };
        };
    };
    files_brief_card_html: {
        parameters: {
            query?: never;
            header?: never;
            path: {
                /** @description Lesson id */
                id: string;
            };
            cookie?: never;
        };
        requestBody?: never;
        responses: {
            /** @description The file; 404 where no stall has a clean recovery to show */
            200: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "text/html": number[];
                };
            };
            /** @description What went wrong, and how to mend it. */
            default: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/json": components["schemas"]["Problem"];
                };
            };
        };
    };
    files_brief_card_pdf: {
        parameters: {
            query?: {
                /** @description `letter` (unless told) or `a4`. */
                paper?: string;
            };
            header?: never;
            path: {
                /** @description Lesson id */
                id: string;
            };
            cookie?: never;
        };
        requestBody?: never;
        responses: {
            /** @description The file; 404 where no stall has a clean recovery to show */
            200: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/pdf": number[];
                };
            };
            /** @description What went wrong, and how to mend it. */
            default: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/json": components["schemas"]["Problem"];
                };
            };
        };
    };
    files_debrief_html: {
        parameters: {
            query?: never;
            header?: never;
            path: {
                /** @description Lesson id */
                id: string;
            };
            cookie?: never;
        };
        requestBody?: never;
        responses: {
            /** @description The file */
            200: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "text/html": number[];
                };
            };
            /** @description What went wrong, and how to mend it. */
            default: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/json": components["schemas"]["Problem"];
                };
            };
        };
    };
    files_debrief_json: {
        parameters: {
            query?: never;
            header?: never;
            path: {
                /** @description Lesson id */
                id: string;
            };
            cookie?: never;
        };
        requestBody?: never;
        responses: {
            /** @description The file */
            200: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/json": components["schemas"]["Debrief"];
                };
            };
            /** @description What went wrong, and how to mend it. */
            default: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/json": components["schemas"]["Problem"];
                };
            };
        };
    };
    word_entries: {
        parameters: {
            query?: never;
            header?: never;
            path: {
                /** @description Lesson id */
                id: string;
            };
            cookie?: never;
        };
        requestBody?: never;
        responses: {
            200: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/json": components["schemas"]["Entry"][];
                };
            };
            /** @description What went wrong, and how to mend it. */
            default: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/json": components["schemas"]["Problem"];
                };
            };
        };
    };
    word_add: {
        parameters: {
            query?: never;
            header?: never;
            path: {
                /** @description Lesson id */
                id: string;
            };
            cookie?: never;
        };
        requestBody: {
            content: {
                "application/json": components["schemas"]["NewEntry"];
            };
        };
        responses: {
            200: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/json": components["schemas"]["LessonView"];
                };
            };
            /** @description What went wrong, and how to mend it. */
            default: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/json": components["schemas"]["Problem"];
                };
            };
        };
    };
    files_flight_csv: {
        parameters: {
            query?: never;
            header?: never;
            path: {
                /** @description Lesson id */
                id: string;
            };
            cookie?: never;
        };
        requestBody?: never;
        responses: {
            /** @description The file */
            200: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "text/csv": number[];
                };
            };
            /** @description What went wrong, and how to mend it. */
            default: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/json": components["schemas"]["Problem"];
                };
            };
        };
    };
    files_flight_parquet: {
        parameters: {
            query?: never;
            header?: never;
            path: {
                /** @description Lesson id */
                id: string;
            };
            cookie?: never;
        };
        requestBody?: never;
        responses: {
            /** @description The file */
            200: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/vnd.apache.parquet": number[];
                };
            };
            /** @description What went wrong, and how to mend it. */
            default: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/json": components["schemas"]["Problem"];
                };
            };
        };
    };
    files_lesson_pdf: {
        parameters: {
            query?: {
                /** @description `letter` (unless told) or `a4`. */
                paper?: string;
                /** @description Every maneuver's sheet behind it. */
                sheets?: boolean;
            };
            header?: never;
            path: {
                /** @description Lesson id */
                id: string;
            };
            cookie?: never;
        };
        requestBody?: never;
        responses: {
            /** @description The file */
            200: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/pdf": number[];
                };
            };
            /** @description What went wrong, and how to mend it. */
            default: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/json": components["schemas"]["Problem"];
                };
            };
        };
    };
    lessons_picture: {
        parameters: {
            query?: never;
            header?: never;
            path: {
                /** @description Lesson id */
                id: string;
                /** @description Number of the maneuver */
                number: number;
            };
            cookie?: never;
        };
        requestBody?: never;
        responses: {
            200: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/json": components["schemas"]["ManeuverPicture"];
                };
            };
            /** @description What went wrong, and how to mend it. */
            default: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/json": components["schemas"]["Problem"];
                };
            };
        };
    };
    lessons_what_if: {
        parameters: {
            query?: never;
            header?: never;
            path: {
                /** @description Lesson id */
                id: string;
                /** @description Number of the maneuver */
                number: number;
            };
            cookie?: never;
        };
        requestBody: {
            content: {
                "application/json": components["schemas"]["WhatIfChange"];
            };
        };
        responses: {
            200: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/json": components["schemas"]["WhatIfTrace"];
                };
            };
            /** @description What went wrong, and how to mend it. */
            default: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/json": components["schemas"]["Problem"];
                };
            };
        };
    };
    files_path_gpx: {
        parameters: {
            query?: never;
            header?: never;
            path: {
                /** @description Lesson id */
                id: string;
            };
            cookie?: never;
        };
        requestBody?: never;
        responses: {
            /** @description The file */
            200: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/gpx+xml": number[];
                };
            };
            /** @description What went wrong, and how to mend it. */
            default: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/json": components["schemas"]["Problem"];
                };
            };
        };
    };
    files_path_kml: {
        parameters: {
            query?: never;
            header?: never;
            path: {
                /** @description Lesson id */
                id: string;
            };
            cookie?: never;
        };
        requestBody?: never;
        responses: {
            /** @description The file */
            200: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/vnd.google-earth.kml+xml": number[];
                };
            };
            /** @description What went wrong, and how to mend it. */
            default: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/json": components["schemas"]["Problem"];
                };
            };
        };
    };
    lessons_series: {
        parameters: {
            query?: never;
            header?: never;
            path: {
                /** @description Lesson id */
                id: string;
            };
            cookie?: never;
        };
        requestBody?: never;
        responses: {
            /** @description PWS1 */
            200: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/octet-stream": number[];
                };
            };
            /** @description As the ETag says */
            304: {
                headers: {
                    [name: string]: unknown;
                };
                content?: never;
            };
            /** @description What went wrong, and how to mend it. */
            default: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/json": components["schemas"]["Problem"];
                };
            };
        };
    };
    lessons_set_aside: {
        parameters: {
            query?: never;
            header?: never;
            path: {
                /** @description Lesson id */
                id: string;
            };
            cookie?: never;
        };
        requestBody: {
            content: {
                "application/json": components["schemas"]["SetAside"];
            };
        };
        responses: {
            200: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/json": components["schemas"]["LessonBrief"];
                };
            };
            /** @description What went wrong, and how to mend it. */
            default: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/json": components["schemas"]["Problem"];
                };
            };
        };
    };
    files_sheets_pdf: {
        parameters: {
            query?: {
                /** @description `letter` (unless told) or `a4`. */
                paper?: string;
            };
            header?: never;
            path: {
                /** @description Lesson id */
                id: string;
            };
            cookie?: never;
        };
        requestBody?: never;
        responses: {
            /** @description The file */
            200: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/pdf": number[];
                };
            };
            /** @description What went wrong, and how to mend it. */
            default: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/json": components["schemas"]["Problem"];
                };
            };
        };
    };
    word_sign: {
        parameters: {
            query?: never;
            header?: never;
            path: {
                /** @description Lesson id */
                id: string;
            };
            cookie?: never;
        };
        requestBody: {
            content: {
                "application/json": components["schemas"]["Sign"];
            };
        };
        responses: {
            200: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/json": components["schemas"]["SignedBrief"];
                };
            };
            /** @description What went wrong, and how to mend it. */
            default: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/json": components["schemas"]["Problem"];
                };
            };
        };
    };
    word_signed: {
        parameters: {
            query?: never;
            header?: never;
            path: {
                /** @description Lesson id */
                id: string;
            };
            cookie?: never;
        };
        requestBody?: never;
        responses: {
            200: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/json": components["schemas"]["SignedBrief"][];
                };
            };
            /** @description What went wrong, and how to mend it. */
            default: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/json": components["schemas"]["Problem"];
                };
            };
        };
    };
    word_signed_bytes: {
        parameters: {
            query?: never;
            header?: never;
            path: {
                /** @description Lesson id */
                id: string;
                /** @description 1, 2, … */
                version: number;
            };
            cookie?: never;
        };
        requestBody?: never;
        responses: {
            /** @description The signed bytes */
            200: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/json": Record<string, never>;
                };
            };
            /** @description What went wrong, and how to mend it. */
            default: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/json": components["schemas"]["Problem"];
                };
            };
        };
    };
    word_difference: {
        parameters: {
            query?: {
                /** @description Another version; absent = what the program computes now. */
                with?: number;
            };
            header?: never;
            path: {
                /** @description Lesson id */
                id: string;
                /** @description 1, 2, … */
                version: number;
            };
            cookie?: never;
        };
        requestBody?: never;
        responses: {
            200: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/json": components["schemas"]["Difference"][];
                };
            };
            /** @description What went wrong, and how to mend it. */
            default: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/json": components["schemas"]["Problem"];
                };
            };
        };
    };
    lessons_take_back: {
        parameters: {
            query?: never;
            header?: never;
            path: {
                /** @description Lesson id */
                id: string;
            };
            cookie?: never;
        };
        requestBody?: never;
        responses: {
            200: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/json": components["schemas"]["LessonBrief"];
                };
            };
            /** @description What went wrong, and how to mend it. */
            default: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/json": components["schemas"]["Problem"];
                };
            };
        };
    };
    lessons_maneuvers: {
        parameters: {
            query?: {
                /** @description Kind id; absent = every kind. */
                kind?: string;
                /** @description At most so many (200 unless told, 1,000 at most). */
                limit?: number;
                /** @description Student (person id), with the demonstrations besides; absent = all that one may see. */
                student?: string;
            };
            header?: never;
            path?: never;
            cookie?: never;
        };
        requestBody?: never;
        responses: {
            200: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/json": components["schemas"]["ManeuverBrief"][];
                };
            };
            /** @description What went wrong, and how to mend it. */
            default: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/json": components["schemas"]["Problem"];
                };
            };
        };
    };
    account_me: {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        requestBody?: never;
        responses: {
            200: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/json": components["schemas"]["Me"];
                };
            };
            /** @description What went wrong, and how to mend it. */
            default: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/json": components["schemas"]["Problem"];
                };
            };
        };
    };
    account_change_password: {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        requestBody: {
            content: {
                "application/json": components["schemas"]["PasswordChange"];
            };
        };
        responses: {
            200: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/json": components["schemas"]["Me"];
                };
            };
            /** @description What went wrong, and how to mend it. */
            default: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/json": components["schemas"]["Problem"];
                };
            };
        };
    };
    status_openapi: {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        requestBody?: never;
        responses: {
            /** @description OpenAPI 3.1 */
            200: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/json": Record<string, never>;
                };
            };
            /** @description What went wrong, and how to mend it. */
            default: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/json": components["schemas"]["Problem"];
                };
            };
        };
    };
    people: {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        requestBody?: never;
        responses: {
            200: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/json": components["schemas"]["Person"][];
                };
            };
            /** @description What went wrong, and how to mend it. */
            default: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/json": components["schemas"]["Problem"];
                };
            };
        };
    };
    people_change: {
        parameters: {
            query?: never;
            header?: never;
            path: {
                /** @description Person id */
                id: string;
            };
            cookie?: never;
        };
        requestBody: {
            content: {
                "application/json": components["schemas"]["PersonChange"];
            };
        };
        responses: {
            200: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/json": components["schemas"]["Person"];
                };
            };
            /** @description What went wrong, and how to mend it. */
            default: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/json": components["schemas"]["Problem"];
                };
            };
        };
    };
    files_record_zip: {
        parameters: {
            query?: never;
            header?: never;
            path: {
                /** @description Person id */
                id: string;
            };
            cookie?: never;
        };
        requestBody?: never;
        responses: {
            /** @description The file */
            200: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/zip": number[];
                };
            };
            /** @description What went wrong, and how to mend it. */
            default: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/json": components["schemas"]["Problem"];
                };
            };
        };
    };
    people_reset: {
        parameters: {
            query?: never;
            header?: never;
            path: {
                /** @description Person id */
                id: string;
            };
            cookie?: never;
        };
        requestBody?: never;
        responses: {
            200: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/json": components["schemas"]["ResetLink"];
                };
            };
            /** @description What went wrong, and how to mend it. */
            default: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/json": components["schemas"]["Problem"];
                };
            };
        };
    };
    people_sign_out_everywhere: {
        parameters: {
            query?: never;
            header?: never;
            path: {
                /** @description Person id */
                id: string;
            };
            cookie?: never;
        };
        requestBody?: never;
        responses: {
            204: {
                headers: {
                    [name: string]: unknown;
                };
                content?: never;
            };
            /** @description What went wrong, and how to mend it. */
            default: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/json": components["schemas"]["Problem"];
                };
            };
        };
    };
    recordings_list: {
        parameters: {
            query?: {
                /** @description Only those before this time (RFC 3339), for the next page. */
                before?: string;
                /** @description At most so many. */
                limit?: number;
            };
            header?: never;
            path?: never;
            cookie?: never;
        };
        requestBody?: never;
        responses: {
            200: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/json": components["schemas"]["RecordingBrief"][];
                };
            };
            /** @description What went wrong, and how to mend it. */
            default: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/json": components["schemas"]["Problem"];
                };
            };
        };
    };
    recordings_bring_in: {
        parameters: {
            query: {
                /** @description Aircraft id; absent = guessed. */
                aircraft?: string;
                /** @description Instructor (person id); absent = who brings it in. */
                instructor?: string;
                /** @description Name of the file. */
                name: string;
                /** @description Student (person id); absent = guessed. */
                student?: string;
            };
            header?: never;
            path?: never;
            cookie?: never;
        };
        /** @description The file's bytes */
        requestBody: {
            content: {
                "application/octet-stream": number[];
            };
        };
        responses: {
            200: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/json": components["schemas"]["Imported"];
                };
            };
            /** @description What went wrong, and how to mend it. */
            default: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/json": components["schemas"]["Problem"];
                };
            };
        };
    };
    recordings_view: {
        parameters: {
            query?: never;
            header?: never;
            path: {
                /** @description SHA-256 of the bytes, hex */
                sha256: string;
            };
            cookie?: never;
        };
        requestBody?: never;
        responses: {
            200: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/json": components["schemas"]["RecordingView"];
                };
            };
            /** @description What went wrong, and how to mend it. */
            default: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/json": components["schemas"]["Problem"];
                };
            };
        };
    };
    recordings_map: {
        parameters: {
            query?: never;
            header?: never;
            path: {
                /** @description SHA-256 of the bytes, hex */
                sha256: string;
            };
            cookie?: never;
        };
        requestBody: {
            content: {
                "application/json": components["schemas"]["MapText"];
            };
        };
        responses: {
            200: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/json": components["schemas"]["Imported"];
                };
            };
            /** @description What went wrong, and how to mend it. */
            default: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/json": components["schemas"]["Problem"];
                };
            };
        };
    };
    recordings_original: {
        parameters: {
            query?: never;
            header?: never;
            path: {
                /** @description SHA-256 of the bytes, hex */
                sha256: string;
            };
            cookie?: never;
        };
        requestBody?: never;
        responses: {
            /** @description The file */
            200: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/octet-stream": number[];
                };
            };
            /** @description What went wrong, and how to mend it. */
            default: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/json": components["schemas"]["Problem"];
                };
            };
        };
    };
    recordings_refused: {
        parameters: {
            query?: {
                /** @description At most so many (50 unless told). */
                limit?: number;
            };
            header?: never;
            path?: never;
            cookie?: never;
        };
        requestBody?: never;
        responses: {
            200: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/json": components["schemas"]["Refused"][];
                };
            };
            /** @description What went wrong, and how to mend it. */
            default: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/json": components["schemas"]["Problem"];
                };
            };
        };
    };
    jobs_remark: {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        requestBody?: never;
        responses: {
            200: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/json": components["schemas"]["Job"];
                };
            };
            /** @description What went wrong, and how to mend it. */
            default: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/json": components["schemas"]["Problem"];
                };
            };
        };
    };
    people_change_school: {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        requestBody: {
            content: {
                "application/json": components["schemas"]["SchoolChange"];
            };
        };
        responses: {
            200: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/json": components["schemas"]["School"];
                };
            };
            /** @description What went wrong, and how to mend it. */
            default: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/json": components["schemas"]["Problem"];
                };
            };
        };
    };
    account_sign_in: {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        requestBody: {
            content: {
                "application/json": components["schemas"]["SignIn"];
            };
        };
        responses: {
            200: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/json": components["schemas"]["Me"];
                };
            };
            /** @description What went wrong, and how to mend it. */
            default: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/json": components["schemas"]["Problem"];
                };
            };
        };
    };
    account_sign_out: {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        requestBody?: never;
        responses: {
            204: {
                headers: {
                    [name: string]: unknown;
                };
                content?: never;
            };
            /** @description What went wrong, and how to mend it. */
            default: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/json": components["schemas"]["Problem"];
                };
            };
        };
    };
    account_sessions: {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        requestBody?: never;
        responses: {
            200: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/json": components["schemas"]["Session"][];
                };
            };
            /** @description What went wrong, and how to mend it. */
            default: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/json": components["schemas"]["Problem"];
                };
            };
        };
    };
    account_sign_out_everywhere: {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        requestBody?: never;
        responses: {
            204: {
                headers: {
                    [name: string]: unknown;
                };
                content?: never;
            };
            /** @description What went wrong, and how to mend it. */
            default: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/json": components["schemas"]["Problem"];
                };
            };
        };
    };
    standards_list: {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        requestBody?: never;
        responses: {
            200: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/json": components["schemas"]["StandardBrief"][];
                };
            };
            /** @description What went wrong, and how to mend it. */
            default: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/json": components["schemas"]["Problem"];
                };
            };
        };
    };
    standards_view: {
        parameters: {
            query?: never;
            header?: never;
            path: {
                /** @description Pack id */
                id: string;
            };
            cookie?: never;
        };
        requestBody?: never;
        responses: {
            200: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/json": components["schemas"]["StandardView"];
                };
            };
            /** @description What went wrong, and how to mend it. */
            default: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/json": components["schemas"]["Problem"];
                };
            };
        };
    };
    standards_put: {
        parameters: {
            query?: never;
            header?: never;
            path: {
                /** @description Pack id */
                id: string;
            };
            cookie?: never;
        };
        requestBody: {
            content: {
                "application/json": components["schemas"]["StandardText"];
            };
        };
        responses: {
            200: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/json": components["schemas"]["StandardView"];
                };
            };
            /** @description What went wrong, and how to mend it. */
            default: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/json": components["schemas"]["Problem"];
                };
            };
        };
    };
    standards_retire: {
        parameters: {
            query?: never;
            header?: never;
            path: {
                /** @description Pack id */
                id: string;
            };
            cookie?: never;
        };
        requestBody?: never;
        responses: {
            204: {
                headers: {
                    [name: string]: unknown;
                };
                content?: never;
            };
            /** @description What went wrong, and how to mend it. */
            default: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/json": components["schemas"]["Problem"];
                };
            };
        };
    };
    status: {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        requestBody?: never;
        responses: {
            200: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/json": components["schemas"]["Status"];
                };
            };
            /** @description What went wrong, and how to mend it. */
            default: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/json": components["schemas"]["Problem"];
                };
            };
        };
    };
    account_tokens: {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        requestBody?: never;
        responses: {
            200: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/json": components["schemas"]["Token"][];
                };
            };
            /** @description What went wrong, and how to mend it. */
            default: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/json": components["schemas"]["Problem"];
                };
            };
        };
    };
    account_make_token: {
        parameters: {
            query?: never;
            header?: never;
            path?: never;
            cookie?: never;
        };
        requestBody: {
            content: {
                "application/json": components["schemas"]["NewToken"];
            };
        };
        responses: {
            200: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/json": components["schemas"]["TokenMade"];
                };
            };
            /** @description What went wrong, and how to mend it. */
            default: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/json": components["schemas"]["Problem"];
                };
            };
        };
    };
    account_revoke_token: {
        parameters: {
            query?: never;
            header?: never;
            path: {
                /** @description Token id */
                id: string;
            };
            cookie?: never;
        };
        requestBody?: never;
        responses: {
            204: {
                headers: {
                    [name: string]: unknown;
                };
                content?: never;
            };
            /** @description What went wrong, and how to mend it. */
            default: {
                headers: {
                    [name: string]: unknown;
                };
                content: {
                    "application/json": components["schemas"]["Problem"];
                };
            };
        };
    };
}
