//! Who acts.

use crate::error::{Result, SchoolError};
use crate::model::{Person, PersonBrief, Role};

/// The person who does something, as the audit trail names them.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Actor {
    /// Person id; empty = the program itself.
    pub id: String,
    /// Name at the time.
    pub name: String,
    /// Role at the time.
    pub role: Role,
}

impl Actor {
    /// The program itself: the command line on the computer that holds the record, or a work in the background.
    #[must_use]
    pub fn program() -> Actor {
        Actor {
            id: String::new(),
            name: "Proofwing".to_owned(),
            role: Role::Chief,
        }
    }

    /// Whether this is the program itself.
    #[must_use]
    pub fn is_program(&self) -> bool {
        self.id.is_empty()
    }

    /// As other pages name them.
    #[must_use]
    pub fn brief(&self) -> PersonBrief {
        PersonBrief {
            id: self.id.clone(),
            name: self.name.clone(),
            role: self.role,
        }
    }

    /// Only the chief instructor may.
    ///
    /// # Errors
    /// `Denied` for everybody else.
    pub fn must_be_chief(&self) -> Result<()> {
        match self.role {
            Role::Chief => Ok(()),
            _ => Err(SchoolError::denied(
                "Only the chief instructor may do this.",
            )),
        }
    }

    /// Only who teaches may.
    ///
    /// # Errors
    /// `Denied` for students and auditors.
    pub fn must_teach(&self) -> Result<()> {
        if self.role.teaches() {
            Ok(())
        } else {
            Err(SchoolError::denied("Only an instructor may do this."))
        }
    }
}

impl From<&Person> for Actor {
    fn from(person: &Person) -> Actor {
        Actor {
            id: person.id.clone(),
            name: person.name.clone(),
            role: person.role,
        }
    }
}
