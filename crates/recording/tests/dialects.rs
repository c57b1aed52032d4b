//! Every way of writing a table that real recorders were seen to use, each as a small text.

mod support;

use recording::{Cause, Quantity, ReadOptions, Target};
use support::{compare, flight, note, only, read, read_bytes, values};

const KT: f64 = 1852.0 / 3600.0;
const FT: f64 = 0.3048;

/// A table of the invented flight: time, position, altitude ft, airspeed kt, in a dialect.
fn table(separator: &str, decimal: char, end: &str) -> String {
    let mut text = ["time", "lat", "lon", "alt_gnss [ft]", "ias [kt]"].join(separator) + end;
    for row in flight().iter().take(60) {
        let second = row.time_s;
        let cells = [
            format!(
                "2025-06-01T10:{:02}:{:02}Z",
                second as u32 / 60,
                second as u32 % 60
            ),
            format!("{:.6}", row.latitude_deg).replace('.', &decimal.to_string()),
            format!("{:.6}", row.longitude_deg).replace('.', &decimal.to_string()),
            format!("{:.1}", row.altitude_m / FT).replace('.', &decimal.to_string()),
            format!("{:.2}", row.airspeed_mps / KT).replace('.', &decimal.to_string()),
        ];
        text += &(cells.join(separator) + end);
    }
    text
}

#[track_caller]
fn check_table(bytes: &[u8]) -> recording::Report {
    let read = read_bytes(bytes);
    let rows: Vec<_> = flight().into_iter().take(60).collect();
    let recording = &read.recordings[0];
    assert_eq!(
        recording.start_unix_s,
        Some(1_748_772_000.0),
        "2025-06-01T10:00:00Z"
    );
    compare(
        recording,
        Quantity::Latitude,
        &rows,
        |row| row.latitude_deg.to_radians(),
        1e-8,
    );
    compare(
        recording,
        Quantity::AirspeedIndicated,
        &rows,
        |row| row.airspeed_mps,
        0.003,
    );
    compare(
        recording,
        Quantity::AltitudeGnss,
        &rows,
        |row| row.altitude_m,
        0.02,
    );
    read.report
}

#[test]
fn separators_and_decimal_marks() {
    for (separator, decimal, name, mark) in [
        (",", '.', "comma", "point"),
        (", ", '.', "comma", "point"),
        (";", '.', "semicolon", "point"),
        (";", ',', "semicolon", "comma"),
        (" ; ", ',', "semicolon", "comma"),
        ("\t", '.', "tab", "point"),
        ("\t", ',', "tab", "comma"),
        ("|", '.', "bar", "point"),
    ] {
        let report = check_table(table(separator, decimal, "\n").as_bytes());
        assert_eq!(
            (report.separator.as_str(), report.decimal.as_str()),
            (name, mark),
            "{separator:?}"
        );
    }
}

#[test]
fn blanks_between_the_cells() {
    let mut text = String::from("t lat lon ias\n");
    for row in flight().iter().take(60) {
        text += &format!(
            "{:>8.1}   {:>11.6} {:>12.6}\t{:>7.2}  \n",
            row.time_s, row.latitude_deg, row.longitude_deg, row.airspeed_mps
        );
    }
    let recording = only(&text);
    let rows: Vec<_> = flight().into_iter().take(60).collect();
    compare(
        &recording,
        Quantity::Longitude,
        &rows,
        |row| row.longitude_deg.to_radians(),
        1e-8,
    );
}

#[test]
fn line_ends() {
    for end in ["\n", "\r\n", "\r"] {
        check_table(table(",", '.', end).as_bytes());
    }
    // Both in one file, and no line end after the last line.
    let mixed = table(",", '.', "\n").replacen('\n', "\r\n", 30);
    check_table(mixed.trim_end().as_bytes());
}

#[test]
fn encodings() {
    let text = table(",", '.', "\n");
    let mut marked = vec![0xef, 0xbb, 0xbf];
    marked.extend(text.bytes());
    assert_eq!(check_table(&marked).encoding, "UTF-8 with mark");
    let little: Vec<u8> = [0xff, 0xfe]
        .into_iter()
        .chain(text.encode_utf16().flat_map(u16::to_le_bytes))
        .collect();
    assert_eq!(check_table(&little).encoding, "UTF-16 little-endian");
    let big: Vec<u8> = [0xfe, 0xff]
        .into_iter()
        .chain(text.encode_utf16().flat_map(u16::to_be_bytes))
        .collect();
    assert_eq!(check_table(&big).encoding, "UTF-16 big-endian");
    let unmarked: Vec<u8> = text.encode_utf16().flat_map(u16::to_le_bytes).collect();
    assert_eq!(check_table(&unmarked).encoding, "UTF-16 little-endian");
}

fn gz(bytes: &[u8]) -> Vec<u8> {
    use std::io::Write;
    let mut writer = flate2::write::GzEncoder::new(Vec::new(), flate2::Compression::fast());
    writer.write_all(bytes).unwrap();
    writer.finish().unwrap()
}

fn zip(members: &[(&str, &[u8])]) -> Vec<u8> {
    use std::io::Write;
    let mut writer = zip::ZipWriter::new(std::io::Cursor::new(Vec::new()));
    for (name, bytes) in members {
        writer
            .start_file(*name, zip::write::SimpleFileOptions::default())
            .unwrap();
        writer.write_all(bytes).unwrap();
    }
    writer.finish().unwrap().into_inner()
}

#[test]
fn packed_files() {
    let text = table(",", '.', "\n");
    assert_eq!(check_table(&gz(text.as_bytes())).container, "gzip");
    let mut two = gz(&text.as_bytes()[..500]);
    two.extend(gz(&text.as_bytes()[500..]));
    check_table(&two);
    check_table(&zip(&[("log.csv", text.as_bytes())]));
    check_table(&zip(&[
        ("__MACOSX/._log.csv", b"x"),
        ("log.csv.gz", &gz(text.as_bytes())),
    ]));
    let both = read_bytes(&zip(&[
        ("a.csv", text.as_bytes()),
        ("b.csv", text.as_bytes()),
        ("notes.txt", b"hello"),
    ]));
    assert_eq!(both.recordings.len(), 2);
    // A gzip stream that breaks off gives what came before.
    let cut = gz(text.as_bytes());
    let read = read_bytes(&cut[..cut.len() * 2 / 3]);
    assert!(read.report.rows_kept > 10);
    note(&read, "breaks off");
}

#[test]
fn hostile_archives_are_refused() {
    let bomb = {
        use std::io::Write;
        let mut writer = flate2::write::GzEncoder::new(Vec::new(), flate2::Compression::best());
        writer.write_all(&vec![b'1'; 40 << 20]).unwrap();
        writer.finish().unwrap()
    };
    let error = recording::read("bomb.gz", &bomb, &ReadOptions::default()).unwrap_err();
    assert!(matches!(error.cause, Cause::TooLarge { .. }), "{error}");
    let options = ReadOptions {
        unpacked_bytes_max: 1000,
        ..ReadOptions::default()
    };
    let error = recording::read("big.gz", &gz(&vec![b'1'; 5000]), &options).unwrap_err();
    assert!(error.to_string().contains("unpack it by hand"), "{error}");
    let error = recording::read("x.gz", &[0x1f, 0x8b, 8, 0, 1, 2], &options).unwrap_err();
    assert!(matches!(error.cause, Cause::Archive(_)), "{error}");
    assert!(recording::read("x.zip", b"PK\x03\x04nonsense", &options).is_err());
}

#[test]
fn preambles_of_any_kind() {
    let body = table(",", '.', "\n");
    for preamble in [
        "# airframe: trainer\n# pilot weight: 80 kg\n",
        "#recorder_info, version=\"1.02\", unit=\"A\", serial=\"000\"\n",
        "Recording,Flight 7\nRate,1 Hz\n\n\n",
        "some product\n\n2025-06-01\nconsole: ready.\nconsole: files 1 2 3\n-----\nName: value\n",
        "1717236000000,60\n",
    ] {
        let read = read_bytes((preamble.to_owned() + &body).as_bytes());
        assert_eq!(read.report.rows_kept, 60, "{preamble}");
        assert_eq!(
            read.report.header_line,
            1 + preamble.lines().count() as u64,
            "{preamble}"
        );
    }
    let read =
        read_bytes(("# airframe: trainer\nVersion,\"1.02\"\n".to_owned() + &body).as_bytes());
    let has = |key: &str, value: &str| {
        read.report
            .preamble
            .iter()
            .any(|(k, v)| k == key && v == value)
    };
    assert!(
        has("airframe", "trainer") && has("Version", "1.02"),
        "{:?}",
        read.report.preamble
    );
}

#[test]
fn units_in_rows_and_names() {
    let rows: String = flight()
        .iter()
        .take(60)
        .map(|row| {
            format!(
                "{},{:.1},{:.2}\n",
                row.time_s,
                row.altitude_m / FT,
                row.airspeed_mps / KT
            )
        })
        .collect();
    for head in [
        "Time [s],Altitude [ft],IAS [kt]\n",
        "Time (sec),Altitude (feet),IAS (knots)\n",
        "Time,Altitude,IAS\ns,ft,kt\n",
        "#s,ft,kts\nTime,Altitude,IAS\n",
        "Time - s,Altitude - ft,IAS - kt\n",
        "time_s,altitude_ft,ias_kts\n",
        "Time/s,Altitude/ft,IAS/kt\n",
        "\"Time;s\",\"Altitude;ft\",\"IAS;kt\"\n",
        "TIME, ALTITUDE FT , IAS KT\n",
    ] {
        let recording = only(&(head.to_owned() + &rows));
        let all: Vec<_> = flight().into_iter().take(60).collect();
        compare(
            &recording,
            Quantity::AirspeedIndicated,
            &all,
            |row| row.airspeed_mps,
            0.003,
        );
        let altitude = values(&recording, Quantity::AltitudeIndicated);
        assert!((altitude[0] - all[0].altitude_m).abs() < 0.02, "{head}");
        assert_eq!(
            recording.channel(Quantity::AirspeedIndicated).unwrap().unit,
            "kt",
            "{head}"
        );
    }
}

#[test]
fn several_header_rows_of_which_one_holds_names() {
    let text = "A1,A2,A3\ngroup,air,air\nTime,Indicated airspeed,Pressure altitude\ns,kt,ft\nfloat,float,float\n0,80.5,3000\n1,81.0,3001\n2,81.5,3002\n3,82,3003\n";
    let recording = only(text);
    assert!((values(&recording, Quantity::AirspeedIndicated)[0] - 80.5 * KT).abs() < 1e-9);
    assert!((values(&recording, Quantity::AltitudePressure)[3] - 3003.0 * FT).abs() < 1e-9);
}

#[test]
fn names_in_several_languages() {
    let text = "Zeit (s);Fluggeschwindigkeit (km/h);Druckhöhe (m);Querneigung (°);Längsneigung (°);Motordrehzahl (U/min);Außentemperatur (°C);Steigrate (m/s)\n\
        0;150,5;900;-12,5;3,5;2100;15;0,1\n1;151,5;901;-13,5;3,6;2110;15;0,4\n2;152,5;902;-14,5;3,7;2120;15;0,4\n3;150;903;-15;3,5;2100;15;0\n";
    let recording = only(text);
    assert!((values(&recording, Quantity::AirspeedIndicated)[0] - 150.5 / 3.6).abs() < 1e-9);
    assert!((values(&recording, Quantity::Bank)[0] + 12.5_f64.to_radians()).abs() < 1e-9);
    assert!((values(&recording, Quantity::OutsideAirTemperature)[0] - 288.15).abs() < 1e-9);
    for quantity in [
        Quantity::AltitudePressure,
        Quantity::Pitch,
        Quantity::EngineSpeed,
        Quantity::VerticalSpeed,
    ] {
        values(&recording, quantity);
    }
    for (header, quantity) in [
        ("Vitesse sol (km/h)", Quantity::GroundSpeed),
        ("Velocidad vertical (ft/min)", Quantity::VerticalSpeed),
        (
            "Température extérieure (°C)",
            Quantity::OutsideAirTemperature,
        ),
        ("Altitud GPS (m)", Quantity::AltitudeGnss),
        ("Prua magnetica (°)", Quantity::HeadingMagnetic),
        ("Régime moteur (tr/min)", Quantity::EngineSpeed),
    ] {
        let recording = only(&format!("time s;{header}\n0;10\n1;11\n2;12\n3;10\n4;11\n"));
        assert!(
            recording.values(quantity).is_some(),
            "{header}: {:?}",
            recording
                .channels
                .iter()
                .map(|c| c.quantity)
                .collect::<Vec<_>>()
        );
    }
}

#[test]
fn quotes_signs_exponents_and_words() {
    let text = "time,\"IAS, kt\",rpm,stall warn,note\n0,\"+80.5\",2.100E+03,OFF,\"a,b\"\n1,\" 81.0\",2.2e3,ON,\"say \"\"hi\"\"\"\n2,82,2300,OFF,c\n3,83,2300.123456789012345,OFF,d\n";
    let recording = only(text);
    assert!((values(&recording, Quantity::AirspeedIndicated)[0] - 80.5 * KT).abs() < 1e-9);
    assert!(
        (values(&recording, Quantity::EngineSpeed)[1] - 2200.0 * std::f64::consts::PI / 30.0).abs()
            < 1e-9
    );
    assert_eq!(
        values(&recording, Quantity::StallWarning),
        [0.0, 1.0, 0.0, 0.0]
    );
}

#[test]
fn positions_in_other_writings() {
    let degrees = |text: &str, latitude: f64, longitude: f64| {
        let recording = only(text);
        let (a, b) = (
            values(&recording, Quantity::Latitude),
            values(&recording, Quantity::Longitude),
        );
        assert!(
            (a[0].to_degrees() - latitude).abs() < 1e-7
                && (b[0].to_degrees() - longitude).abs() < 1e-7,
            "{text}: {} {}",
            a[0].to_degrees(),
            b[0].to_degrees()
        );
    };
    // Worked values: 44 + 04.14036/60 and 121 + 18.85961/60 (NMEA 0183 position fields, checked in "NMEA
    // Revealed", gpsd project 2021, as listed with the outside values of this project).
    degrees(
        "time,lat,ns,lon,ew\n0,4404.14036,N,12118.85961,W\n1,4404.15036,N,12118.85961,W\n2,4404.16036,N,12118.85961,W\n",
        44.069_006,
        -121.314_326_833_333,
    );
    degrees(
        "time,lat,lon\n0,440690060,-1213143268\n1,440690160,-1213143268\n2,440690260,-1213143268\n",
        44.069_006,
        -121.314_326_8,
    );
    degrees(
        "time,lat,lon\n0,N44.069006,W121.3143268\n1,N44.0691,W121.3143\n2,N44.0692,W121.3143\n",
        44.069_006,
        -121.314_326_8,
    );
    degrees(
        "time,\"lat,lon\",ias kt\n0,\"44.069006,-121.3143268\",80\n1,\"44.0691,-121.3143\",81\n2,\"44.0692,-121.3143\",82\n",
        44.069_006,
        -121.314_326_8,
    );
}

#[test]
fn a_map_wins() {
    let text = "time,speed A,speed B\n0,80,90\n1,81,91\n2,82,92\n3,83,93\n";
    let options = ReadOptions {
        map: ["airspeed_true=speed b:km/h", "ignore=#2"]
            .iter()
            .map(|entry| recording::MapEntry::parse(entry).unwrap())
            .collect(),
        ..ReadOptions::default()
    };
    let read = recording::read("x.csv", text.as_bytes(), &options).unwrap();
    let recording = &read.recordings[0];
    assert_eq!(recording.channels.len(), 1);
    assert!((values(recording, Quantity::AirspeedTrue)[0] - 25.0).abs() < 1e-9);
    let wrong = |entry: &str| {
        let options = ReadOptions {
            map: vec![recording::MapEntry::parse(entry).unwrap()],
            ..ReadOptions::default()
        };
        recording::read("x.csv", text.as_bytes(), &options).unwrap_err()
    };
    assert_eq!(
        wrong("pitch=nowhere").cause,
        Cause::NoSuchColumn("nowhere".to_owned())
    );
    assert!(
        wrong("pitch=speed A:kt")
            .to_string()
            .contains("does not fit")
    );
    let entry = recording::MapEntry::parse("time=speed A").unwrap();
    assert_eq!(entry.target, Target::Time);
}

#[test]
fn the_header_signature_knows_the_recorder_again() {
    let signature = |text: &str| read(text).report.header_signature;
    let one = signature("time,IAS [kt]\n0,80\n1,81\n2,82\n");
    assert_eq!(
        one,
        signature("# other flight\ntime,IAS [kt]\n5,60\n6,61\n7,62\n")
    );
    assert_ne!(one, signature("time,TAS [kt]\n0,80\n1,81\n2,82\n"));
}

#[test]
fn what_is_no_table_is_refused_with_a_way_out() {
    for (bytes, what) in [
        (&b""[..], "the file is empty"),
        (b" \n\n", "the file is empty"),
        (
            b"Dear instructor,\nthe flight was fine.\n",
            "no table of numbers",
        ),
        (
            &[
                0x89, b'P', b'N', b'G', 1, 2, 3, 4, 5, 6, 7, 8, 1, 2, 3, 4, 5, 6, 7,
            ],
            "not a text table",
        ),
        (
            b"a,b\n1,5\n1,3\n1,9\n0,2\n",
            "no column of the table is a time",
        ),
    ] {
        let error = recording::read("flight.csv", bytes, &ReadOptions::default())
            .unwrap_err()
            .to_string();
        assert!(
            error.starts_with("flight.csv") && error.contains(what),
            "{error}"
        );
    }
}
