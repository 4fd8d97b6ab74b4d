//! The first questions of a conversation: what is wrong, where, and when.

use super::Failure;
use super::trace_talk::{Said, Talk};
use crate::circuit::zones::fuses;
use crate::tracing::{Complaint, Element, Evidence, When};

/// Questions of the opening.
const QUESTIONS: usize = 6;

impl Talk<'_, '_> {
    /// What is wrong, where, and when.
    pub(super) fn opening(
        &mut self,
        history: &mut Vec<Evidence>,
    ) -> Result<Option<Evidence>, Failure> {
        const COMPLAINTS: [(Complaint, &str); 6] = [
            (Complaint::FuseOpens, "a fuse or breaker opens"),
            (Complaint::LoadDead, "a load is dead"),
            (Complaint::LoadWeak, "a load is weak"),
            (Complaint::DiedTogether, "several things died together"),
            (Complaint::Drain, "the battery drains"),
            (Complaint::Reversed, "the battery was connected backwards"),
        ];
        let words = COMPLAINTS.map(|(_, words)| words.to_owned());
        let complaint = loop {
            match self.choose("What is wrong?", &words)? {
                Ok(at) => break COMPLAINTS[at].0,
                Err(Said::Quit) => return Ok(None),
                Err(_) => self.say("this one is needed")?,
            }
        };
        let mut evidence = Evidence::of(complaint);
        history.push(evidence.clone());
        let mut step = 0;
        while step < QUESTIONS {
            let before = evidence.clone();
            match self.detail(step, &mut evidence)? {
                Some(Said::Quit) => {
                    self.keep(&evidence)?;
                    return Ok(None);
                }
                Some(Said::Back) if step > 0 => {
                    step -= 1;
                    evidence = history.pop().unwrap_or(before);
                }
                Some(Said::Why) => {
                    self.say("it tells which wires are live when the trouble shows: everything else is out")?;
                }
                _ => {
                    history.push(before);
                    step += 1;
                    self.keep(&evidence)?;
                }
            }
        }
        Ok(Some(evidence))
    }

    /// One question of the opening; what was said where it was no answer.
    fn detail(&mut self, step: usize, evidence: &mut Evidence) -> Result<Option<Said>, Failure> {
        let states: Vec<String> = self
            .circuit
            .states
            .iter()
            .map(|state| state.name.clone())
            .collect();
        let is_fuse = evidence.complaint == Complaint::FuseOpens;
        let has_load = matches!(
            evidence.complaint,
            Complaint::LoadDead | Complaint::LoadWeak | Complaint::DiedTogether
        );
        Ok(match step {
            0 if is_fuse => {
                let names: Vec<String> = (0..fuses(self.circuit).len())
                    .map(|fuse| self.spots.fuse_name(fuse))
                    .collect();
                match self.choose("Which fuse or breaker?", &names)? {
                    Ok(fuse) => {
                        evidence.fuse = Some(fuse);
                        None
                    }
                    Err(said) => Some(said),
                }
            }
            0 if has_load => {
                let (names, parts) = self.spots.loads();
                match self.several("Which?", &names)? {
                    Ok(chosen) => {
                        evidence.loads = chosen.into_iter().map(|at| parts[at]).collect();
                        None
                    }
                    Err(said) => Some(said),
                }
            }
            1 if is_fuse || has_load => {
                match self.several("In which states does it show?", &states)? {
                    Ok(chosen) => {
                        evidence.states = chosen;
                        None
                    }
                    Err(said) => Some(said),
                }
            }
            2 if is_fuse || has_load => {
                match self.several("In which states is all well?", &states)? {
                    Ok(chosen) => {
                        evidence.fine = chosen;
                        None
                    }
                    Err(said) => Some(said),
                }
            }
            3 => {
                let words: Vec<String> = When::ALL
                    .iter()
                    .map(|(_, word)| (*word).to_owned())
                    .collect();
                match self.several("What goes with it?", &words)? {
                    Ok(chosen) => {
                        evidence.when = chosen.into_iter().map(|at| When::ALL[at].0).collect();
                        None
                    }
                    Err(said) => Some(said),
                }
            }
            4 if is_fuse => {
                let words: Vec<String> = Element::ALL
                    .iter()
                    .map(|(_, word)| (*word).to_owned())
                    .collect();
                match self.choose("How does the dead fuse's element look?", &words)? {
                    Ok(at) => {
                        evidence.element = Some(Element::ALL[at].0);
                        None
                    }
                    Err(said) => Some(said),
                }
            }
            5 => {
                let (names, parts) = self.spots.loads();
                match self.several("What still works?", &names)? {
                    Ok(chosen) => {
                        evidence.works = chosen.into_iter().map(|at| parts[at]).collect();
                        None
                    }
                    Err(said) => Some(said),
                }
            }
            _ => Some(Said::Skip),
        })
    }
}
