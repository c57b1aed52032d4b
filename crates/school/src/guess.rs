//! Who flew, and in what: guessed from what the school flew before, for a person to confirm with one click.

/// A lesson that the school has, as far as guessing needs it.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Earlier {
    /// UTC of its first sample.
    pub start_utc: String,
    /// Identity that the recorder wrote; empty = none.
    pub identity: String,
    /// Fingerprint of the recording's header.
    pub header_signature: String,
    /// Aircraft.
    pub aircraft_id: Option<String>,
    /// Instructor.
    pub instructor_id: Option<String>,
    /// Student.
    pub student_id: Option<String>,
}

/// What is known of the recording that came in.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Arrival {
    /// UTC of its first sample, or of when it came.
    pub start_utc: String,
    /// Identity that the recorder wrote; empty = none.
    pub identity: String,
    /// Fingerprint of its header.
    pub header_signature: String,
    /// The instructor who brings it in; none when it came by itself.
    pub instructor_id: Option<String>,
    /// Aircraft that the person named.
    pub aircraft_id: Option<String>,
    /// Student that the person named.
    pub student_id: Option<String>,
}

/// Who and what the school has now: nobody who left is guessed, nor an aircraft that is gone.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Around {
    /// Aircraft in use: id and name.
    pub aircraft: Vec<(String, String)>,
    /// People who may sign in.
    pub people: Vec<String>,
}

/// What was guessed.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Guess {
    /// Aircraft.
    pub aircraft_id: Option<String>,
    /// Instructor.
    pub instructor_id: Option<String>,
    /// Student.
    pub student_id: Option<String>,
    /// Which of them nobody said: `aircraft`, `instructor`, `student`.
    pub guessed: Vec<String>,
}

/// Guesses. `earlier` in any order.
#[must_use]
pub fn guess(arrival: &Arrival, earlier: &[Earlier], around: &Around) -> Guess {
    let before = by_nearness(earlier, &arrival.start_utc);
    let aircraft_id = arrival
        .aircraft_id
        .clone()
        .or_else(|| aircraft(arrival, &before, around));
    let instructor_id = arrival
        .instructor_id
        .clone()
        .or_else(|| instructor(arrival, aircraft_id.as_deref(), &before, around));
    let student_id = arrival.student_id.clone().or_else(|| {
        student(
            arrival,
            aircraft_id.as_deref(),
            instructor_id.as_deref(),
            &before,
            around,
        )
    });
    let mut guessed = Vec::new();
    for (name, given, is) in [
        ("student", &arrival.student_id, &student_id),
        // Who brings a recording in mostly flew it, and sometimes brings in a colleague's.
        ("instructor", &None, &instructor_id),
        ("aircraft", &arrival.aircraft_id, &aircraft_id),
    ] {
        if given.is_none() && is.is_some() {
            guessed.push(name.to_owned());
        }
    }
    Guess {
        aircraft_id,
        instructor_id,
        student_id,
        guessed,
    }
}

/// The lessons before the arrival, the last first, then those after it, the soonest first: a card that is read
/// weeks late belongs among the lessons of its own week.
fn by_nearness<'a>(earlier: &'a [Earlier], start_utc: &str) -> Vec<&'a Earlier> {
    let (mut before, mut after): (Vec<&Earlier>, Vec<&Earlier>) = earlier
        .iter()
        .partition(|lesson| lesson.start_utc.as_str() <= start_utc);
    before.sort_by(|one, other| other.start_utc.cmp(&one.start_utc));
    after.sort_by(|one, other| one.start_utc.cmp(&other.start_utc));
    before.extend(after);
    before
}

fn aircraft(arrival: &Arrival, before: &[&Earlier], around: &Around) -> Option<String> {
    let in_use = |id: &&String| around.aircraft.iter().any(|(known, _)| known == *id);
    let last = |asked: &dyn Fn(&Earlier) -> bool| {
        before
            .iter()
            .filter(|lesson| asked(lesson))
            .find_map(|lesson| lesson.aircraft_id.as_ref().filter(in_use))
            .cloned()
    };
    let identity = arrival.identity.as_str();
    let told = !identity.is_empty();
    let by_name = || {
        let mut named = around
            .aircraft
            .iter()
            .filter(|(_, name)| named_in(identity, name));
        // Two that fit are none.
        named
            .next()
            .filter(|_| named.next().is_none())
            .map(|(id, _)| id.clone())
    };
    let only = || match around.aircraft.as_slice() {
        [(id, _)] => Some(id.clone()),
        _ => None,
    };
    let signature = |lesson: &Earlier| {
        !arrival.header_signature.is_empty()
            && lesson.header_signature == arrival.header_signature
            // A recorder that names itself is another one when the names differ.
            && (!told || lesson.identity.is_empty())
    };
    let of_instructor = |lesson: &Earlier| {
        arrival.instructor_id.is_some() && lesson.instructor_id == arrival.instructor_id
    };
    let today = |lesson: &Earlier| day(&lesson.start_utc) == day(&arrival.start_utc);
    last(&|lesson| told && lesson.identity == identity)
        .or_else(|| if told { by_name() } else { None })
        .or_else(only)
        // Recorders of one make write one header: the one that this instructor flew today comes first.
        .or_else(|| last(&|lesson| signature(lesson) && of_instructor(lesson) && today(lesson)))
        .or_else(|| last(&signature))
        .or_else(|| last(&of_instructor))
}

/// Whether an identity that a recorder wrote names an aircraft: as a whole word, whatever the case.
fn named_in(identity: &str, name: &str) -> bool {
    let name = name.trim().to_lowercase();
    let inside = |letter: Option<char>| letter.is_some_and(char::is_alphanumeric);
    !name.is_empty()
        && identity.match_indices(&name).any(|(at, found)| {
            let before = identity.get(..at).and_then(|text| text.chars().next_back());
            let after = identity
                .get(at + found.len()..)
                .and_then(|text| text.chars().next());
            !inside(before) && !inside(after)
        })
}

fn instructor(
    arrival: &Arrival,
    aircraft_id: Option<&str>,
    before: &[&Earlier],
    around: &Around,
) -> Option<String> {
    before
        .iter()
        .filter(|lesson| lesson.aircraft_id.as_deref() == aircraft_id && aircraft_id.is_some())
        .filter(|lesson| arrival.student_id.is_none() || lesson.student_id == arrival.student_id)
        .find_map(|lesson| {
            lesson
                .instructor_id
                .as_ref()
                .filter(|id| around.people.contains(id))
        })
        .cloned()
}

/// The student of that instructor's last lesson: with that aircraft on that day, else on that day, else with
/// that aircraft, else at all.
fn student(
    arrival: &Arrival,
    aircraft_id: Option<&str>,
    instructor_id: Option<&str>,
    before: &[&Earlier],
    around: &Around,
) -> Option<String> {
    let instructor_id = instructor_id?;
    let aircraft = |lesson: &Earlier| lesson.aircraft_id.as_deref() == aircraft_id;
    let today = |lesson: &Earlier| day(&lesson.start_utc) == day(&arrival.start_utc);
    let last = |asked: &dyn Fn(&Earlier) -> bool| {
        before
            .iter()
            .filter(|lesson| {
                lesson.instructor_id.as_deref() == Some(instructor_id) && asked(lesson)
            })
            .find_map(|lesson| {
                lesson
                    .student_id
                    .as_ref()
                    .filter(|id| around.people.contains(id))
            })
            .cloned()
    };
    last(&|lesson| aircraft(lesson) && today(lesson))
        .or_else(|| last(&today))
        .or_else(|| last(&aircraft))
        .or_else(|| last(&|_| true))
}

fn day(utc: &str) -> &str {
    utc.get(..10).unwrap_or(utc)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn lesson(
        start_utc: &str,
        identity: &str,
        aircraft: &str,
        instructor: &str,
        student: &str,
    ) -> Earlier {
        Earlier {
            start_utc: start_utc.to_owned(),
            identity: identity.to_owned(),
            header_signature: "sig".to_owned(),
            aircraft_id: Some(aircraft.to_owned()),
            instructor_id: Some(instructor.to_owned()),
            student_id: Some(student.to_owned()),
        }
    }

    fn around() -> Around {
        let pair = |id: &str, name: &str| (id.to_owned(), name.to_owned());
        Around {
            aircraft: vec![pair("a", "Pellwick A"), pair("b", "Pellwick B")],
            people: ["kim", "ola", "sam", "pat"].map(str::to_owned).to_vec(),
        }
    }

    fn arrival(start_utc: &str, identity: &str) -> Arrival {
        Arrival {
            start_utc: start_utc.to_owned(),
            identity: identity.to_owned(),
            header_signature: "sig".to_owned(),
            instructor_id: Some("kim".to_owned()),
            ..Arrival::default()
        }
    }

    #[test]
    fn prop_the_recorder_that_names_itself_counts_most() {
        let earlier = [
            lesson(
                "2026-05-04T10:00:00Z",
                "airplane=pellwick a",
                "a",
                "ola",
                "pat",
            ),
            lesson(
                "2026-05-04T12:00:00Z",
                "airplane=pellwick b",
                "b",
                "kim",
                "sam",
            ),
        ];
        let found = guess(
            &arrival("2026-05-04T14:00:00Z", "airplane=pellwick a"),
            &earlier,
            &around(),
        );
        assert_eq!(found.aircraft_id.as_deref(), Some("a"));
        // Of that instructor on that day, though in the other aircraft.
        assert_eq!(found.student_id.as_deref(), Some("sam"));
        assert_eq!(found.guessed, ["student", "instructor", "aircraft"]);
        // A name that was never seen in a lesson, but is an aircraft's.
        let found = guess(
            &arrival("2026-05-04T14:00:00Z", "airplane=pellwick a"),
            &[],
            &around(),
        );
        assert_eq!(found.aircraft_id.as_deref(), Some("a"));
        assert_eq!(found.student_id, None);
    }

    #[test]
    fn prop_a_card_read_late_belongs_to_its_own_week() {
        let earlier = [
            lesson("2026-05-04T10:00:00Z", "", "a", "kim", "sam"),
            lesson("2026-06-20T10:00:00Z", "", "b", "kim", "pat"),
        ];
        let found = guess(&arrival("2026-05-06T10:00:00Z", ""), &earlier, &around());
        assert_eq!(
            (found.aircraft_id.as_deref(), found.student_id.as_deref()),
            (Some("a"), Some("sam"))
        );
    }

    #[test]
    fn prop_what_was_said_is_no_guess_and_who_left_is_not_guessed() {
        let earlier = [lesson("2026-05-04T10:00:00Z", "", "gone", "kim", "left")];
        let mut coming = arrival("2026-05-04T14:00:00Z", "");
        let found = guess(&coming, &earlier, &around());
        assert_eq!((found.aircraft_id, found.student_id), (None, None));
        coming.aircraft_id = Some("b".to_owned());
        coming.student_id = Some("pat".to_owned());
        let found = guess(&coming, &earlier, &around());
        assert_eq!(found.guessed, ["instructor"]);
        assert_eq!(found.aircraft_id.as_deref(), Some("b"));
    }

    #[test]
    fn prop_the_only_aircraft_is_the_one() {
        let one = Around {
            aircraft: vec![("a".to_owned(), "Pellwick A".to_owned())],
            ..around()
        };
        assert_eq!(
            guess(&arrival("2026-05-04T14:00:00Z", ""), &[], &one)
                .aircraft_id
                .as_deref(),
            Some("a")
        );
        assert!(named_in("airplane=pellwick a", "Pellwick A"));
        assert!(!named_in("airplane=pellwick ab", "Pellwick A"));
    }
}
