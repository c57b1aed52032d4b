//! The other library in a process of its own, one line of numbers each way.

use super::fdm::Earth;
use crate::airframe::Airframe;
use crate::state::{Controls, SIZE, State, Surfaces, Vec3};
use std::fmt::{self, Write as _};
use std::io::{self, BufRead, BufReader, Write};
use std::path::{Path, PathBuf};
use std::process::{Child, ChildStdin, ChildStdout, Command, Stdio};

/// Numbers of an answer.
const ANSWER: usize = SIZE + 5 + 11 + 9;

/// Why it does not fly any more.
#[derive(Clone, Debug)]
pub struct Lost(String);

impl fmt::Display for Lost {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "the outside plant: {}", self.0)
    }
}

impl std::error::Error for Lost {}

impl From<io::Error> for Lost {
    fn from(error: io::Error) -> Lost {
        Lost(error.to_string())
    }
}

/// What the other library says of a moment.
#[derive(Clone, Copy, Debug)]
pub struct Told {
    /// State.
    pub state: State,
    /// Surfaces.
    pub surfaces: Surfaces,
    /// Forces but weight over mass, body axes, g.
    pub specific_force_g: Vec3,
    /// True airspeed, m/s.
    pub tas_mps: f64,
    /// Angle of attack, rad.
    pub alpha_rad: f64,
    /// Sideslip, rad.
    pub beta_rad: f64,
    /// Density, kg/m³.
    pub density_kgpm3: f64,
    /// Lift coefficient.
    pub lift: f64,
    /// Thrust, N.
    pub thrust_n: f64,
    /// Torque of the engine, N·m.
    pub torque_nm: f64,
    /// Whether a wheel carries weight.
    pub on_ground: bool,
    /// Rates of the velocity in body axes, m/s².
    pub accel_mps2: Vec3,
    /// Rates of the turning, rad/s².
    pub turning_radps2: Vec3,
    /// Rate of the propeller, rad/s².
    pub spin_rate_radps2: f64,
    /// What the attached shares tend to, left and right.
    pub tends_to: [f64; 2],
}

/// An airframe in the other library.
#[derive(Debug)]
pub struct Outside {
    child: Child,
    ask: Option<ChildStdin>,
    answer: BufReader<ChildStdout>,
    line: String,
}

impl Outside {
    /// Writes the airframe into a folder and starts `python plant.py` there with one step for all, s.
    ///
    /// # Errors
    /// No such python, no jsbsim in it, a folder that cannot be written.
    pub fn start(
        python: &Path,
        folder: &Path,
        airframe: &Airframe,
        step_s: f64,
        earth: Earth,
    ) -> Result<Outside, Lost> {
        super::write(airframe, folder)?;
        let script: PathBuf = folder.join("plant.py");
        std::fs::write(&script, include_str!("../../outside/plant.py"))?;
        let mut child = Command::new(python)
            .arg(&script)
            .arg(folder)
            .arg(step_s.to_string())
            .args((earth == Earth::Flat).then_some("flat"))
            .stdin(Stdio::piped())
            .stdout(Stdio::piped())
            .stderr(Stdio::null())
            .spawn()
            .map_err(|error| Lost(format!("{}: {error}", python.display())))?;
        let ask = child.stdin.take();
        let answer = child
            .stdout
            .take()
            .ok_or_else(|| Lost("no answers".to_owned()))?;
        Ok(Outside {
            child,
            ask,
            answer: BufReader::new(answer),
            line: String::new(),
        })
    }

    /// Sets state and surfaces; where it is said to be is where its positions count from.
    ///
    /// # Errors
    /// When the process is gone or complains.
    pub fn put(&mut self, state: &State, surfaces: &Surfaces) -> Result<Told, Lost> {
        self.line.clear();
        self.line.push_str("put");
        for value in state.0 {
            let _ = write!(self.line, " {value:?}");
        }
        let s = surfaces;
        for value in [s.elevator, s.aileron, s.rudder, s.throttle, s.flap_rad] {
            let _ = write!(self.line, " {value:?}");
        }
        self.ask()
    }

    /// The air of what comes next: wind toward north, east, down, m/s; the gust's rolling, rad/s; density, kg/m³, 0 for
    /// the library's own standard atmosphere.
    ///
    /// # Errors
    /// When the process is gone.
    pub fn air(&mut self, wind_ned: Vec3, roll_radps: f64, density: f64) -> Result<(), Lost> {
        self.line.clear();
        let [n, e, d] = wind_ned;
        let _ = writeln!(
            self.line,
            "air {n:?} {e:?} {d:?} {roll_radps:?} {density:?}"
        );
        self.say()
    }

    /// One step.
    ///
    /// # Errors
    /// When the process is gone or complains.
    pub fn step(&mut self, controls: &Controls) -> Result<Told, Lost> {
        let s = Surfaces::settled(controls);
        self.line.clear();
        let _ = write!(
            self.line,
            "step {:?} {:?} {:?} {:?} {:?} {:?}",
            s.elevator, s.aileron, s.rudder, s.throttle, s.flap_rad, s.brakes
        );
        self.ask()
    }

    /// Rates anew, in the air that was set.
    ///
    /// # Errors
    /// When the process is gone or complains.
    pub fn rates(&mut self) -> Result<Told, Lost> {
        self.line.clear();
        self.line.push_str("rates");
        self.ask()
    }

    fn say(&mut self) -> Result<(), Lost> {
        let gone = || Lost("the process is gone".to_owned());
        let ask = self.ask.as_mut().ok_or_else(gone)?;
        // Where it is gone, its last answer says why.
        let _ = ask
            .write_all(self.line.as_bytes())
            .and_then(|()| ask.flush());
        Ok(())
    }

    fn ask(&mut self) -> Result<Told, Lost> {
        self.line.push('\n');
        self.say()?;
        self.line.clear();
        self.answer.read_line(&mut self.line)?;
        let line = self.line.trim();
        if let Some(words) = line.strip_prefix("error ") {
            return Err(Lost(words.to_owned()));
        }
        let mut numbers = [0.0_f64; ANSWER];
        let mut parts = line.split_ascii_whitespace();
        for number in &mut numbers {
            *number = parts
                .next()
                .and_then(|part| part.parse().ok())
                .ok_or_else(|| Lost(format!("no answer but \"{line}\"")))?;
        }
        Ok(told(&numbers))
    }
}

fn told(n: &[f64; ANSWER]) -> Told {
    let mut state = State([0.0; SIZE]);
    state.0.copy_from_slice(&n[..SIZE]);
    Told {
        state,
        surfaces: Surfaces {
            elevator: n[16],
            aileron: n[17],
            rudder: n[18],
            throttle: n[19],
            flap_rad: n[20],
            brakes: 0.0,
        },
        specific_force_g: [n[21], n[22], n[23]],
        tas_mps: n[24],
        alpha_rad: n[25],
        beta_rad: n[26],
        density_kgpm3: n[27],
        lift: n[28],
        thrust_n: n[29],
        torque_nm: n[30],
        on_ground: n[31] != 0.0,
        accel_mps2: [n[32], n[33], n[34]],
        turning_radps2: [n[35], n[36], n[37]],
        spin_rate_radps2: n[38],
        tends_to: [n[39], n[40]],
    }
}

impl Drop for Outside {
    fn drop(&mut self) {
        // Its input ends, and with it the process.
        self.ask = None;
        let _ = self.child.wait();
    }
}
