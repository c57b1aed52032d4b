//! A good table with any bytes in the middle: the rows before the damage all stay.
#![no_main]

use libfuzzer_sys::fuzz_target;

fuzz_target!(|bytes: &[u8]| {
    let row = |index: usize| format!("{},{:.1},{}\n", index, 60.0 + index as f64 * 0.1, 3000 + index % 7);
    let mut file = b"elapsed s,ias kt,alt ft\n".to_vec();
    (0..200).for_each(|index| file.extend(row(index).bytes()));
    file.extend(bytes);
    file.push(b'\n');
    (300..500).for_each(|index| file.extend(row(index).bytes()));
    let Ok(read) = recording::read("fuzz", &file, &Default::default()) else {
        panic!("a good table with some damage is refused");
    };
    let kept: usize = read.recordings.iter().map(|recording| recording.time_s.len()).sum();
    assert!(kept >= 390, "only {kept} of 400 good rows are left");
});
