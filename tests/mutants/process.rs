//! Programs run with a bound on their time, several at once.
#![allow(
    clippy::disallowed_methods,
    reason = "this program times tests on the developer's machine; the core has no clocks"
)]

use std::fs;
use std::process::{Child, Command};
use std::sync::Mutex;
use std::time::{Duration, Instant};

/// A machine that does other work meanwhile may take this many times longer by the clock than by the processor's time.
const BUSY: u32 = 20;
/// What can pass between a look at a program and its end.
const LATE: Duration = Duration::from_millis(30);

/// How a program ended.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum End {
    /// Well, after this time (of the processor, where the system tells it).
    Passed(Duration),
    /// With a failure, or on a signal.
    Failed,
    /// It was stopped.
    TooLong,
}

/// Runs a program; it is stopped when it has used more than `limit` of the processor, or has stood still far longer.
pub fn run(command: &mut Command, limit: Duration) -> End {
    let start = Instant::now();
    let Ok(mut child) = command.spawn() else {
        return End::Failed;
    };
    let mut pause = Duration::from_millis(1);
    let mut worked = None;
    loop {
        match child.try_wait() {
            Ok(Some(status)) if status.success() => {
                // The last look at the processor's time may be a pause and a hundredth old.
                let most = worked.map_or(Duration::MAX, |time| time + LATE);
                return End::Passed(start.elapsed().min(most));
            }
            Ok(Some(_)) | Err(_) => return End::Failed,
            Ok(None) => {}
        }
        let past = start.elapsed();
        worked = used(&child).or(worked);
        if worked.unwrap_or(past) > limit || past > limit * BUSY {
            let _ = child.kill();
            let _ = child.wait();
            return End::TooLong;
        }
        std::thread::sleep(pause);
        pause = (pause * 2).min(Duration::from_millis(20));
    }
}

/// The processor's time that a program has used, where the system tells it in a file (in hundredths of a second).
fn used(child: &Child) -> Option<Duration> {
    let text = fs::read_to_string(format!("/proc/{}/stat", child.id())).ok()?;
    let fields: Vec<&str> = text.rsplit(')').next()?.split_whitespace().collect();
    let number = |at: usize| fields.get(at)?.parse::<u64>().ok();
    Some(Duration::from_millis((number(11)? + number(12)?) * 10))
}

/// Does something for every item, several at a time, and gives the results in the items' order.
pub fn in_turn<T: Sync, R: Send>(
    items: &[T],
    jobs: usize,
    work: impl Fn(usize, &T) -> R + Sync,
) -> Vec<R> {
    let next = Mutex::new(0);
    let done = Mutex::new(Vec::new());
    std::thread::scope(|scope| {
        for _ in 0..jobs.max(1) {
            scope.spawn(|| {
                loop {
                    let at = {
                        let mut next = next.lock().unwrap_or_else(|e| e.into_inner());
                        *next += 1;
                        *next - 1
                    };
                    let Some(item) = items.get(at) else { return };
                    let result = work(at, item);
                    done.lock()
                        .unwrap_or_else(|e| e.into_inner())
                        .push((at, result));
                }
            });
        }
    });
    let mut done = done.into_inner().unwrap_or_else(|e| e.into_inner());
    done.sort_by_key(|(at, _)| *at);
    done.into_iter().map(|(_, result)| result).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_program_that_does_not_end_is_stopped() {
        let limit = Duration::from_millis(300);
        assert_eq!(
            run(
                Command::new("sh").args(["-c", "while :; do :; done"]),
                limit
            ),
            End::TooLong
        );
        assert_eq!(
            run(Command::new("sh").args(["-c", "exit 3"]), limit),
            End::Failed
        );
        assert!(matches!(
            run(&mut Command::new("true"), limit),
            End::Passed(_)
        ));
    }

    #[test]
    fn results_stand_in_the_order_of_their_items() {
        let items: Vec<usize> = (0..50).collect();
        assert_eq!(
            in_turn(&items, 4, |_, item| item * 2),
            (0..50).map(|n| n * 2).collect::<Vec<_>>()
        );
    }
}
