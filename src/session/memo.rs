//! What was worked out from the same inputs a moment ago is not worked out again: a session asks its state many times
//! over, and a fit or a cone's travel takes a while.

use std::cell::RefCell;
use std::fmt;

/// So many results are kept.
const KEPT: usize = 4;

/// The last few results of a function by its inputs. It adds nothing to what a state says, so all of them are equal.
#[derive(Clone)]
pub(super) struct Memo<K, V>(RefCell<Vec<(K, V)>>);

impl<K, V> Memo<K, V> {
    /// Nothing yet.
    pub const fn new() -> Self {
        Self(RefCell::new(Vec::new()))
    }
}

impl<K: PartialEq, V: Clone> Memo<K, V> {
    /// The result for these inputs.
    pub fn of(&self, inputs: K, work_out: impl FnOnce(&K) -> V) -> V {
        if let Some((_, result)) = self.0.borrow().iter().find(|(of, _)| *of == inputs) {
            return result.clone();
        }
        let result = work_out(&inputs);
        let mut kept = self.0.borrow_mut();
        kept.truncate(KEPT - 1);
        kept.insert(0, (inputs, result.clone()));
        result
    }
}

impl<K, V> PartialEq for Memo<K, V> {
    fn eq(&self, _: &Self) -> bool {
        true
    }
}

impl<K, V> fmt::Debug for Memo<K, V> {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str("Memo")
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_same_inputs_are_worked_out_once() {
        let (memo, calls) = (Memo::new(), std::cell::Cell::new(0));
        let double = |input: u32| {
            memo.of(input, |input| {
                calls.set(calls.get() + 1);
                input * 2
            })
        };
        assert_eq!([double(1), double(2), double(1), double(2)], [2, 4, 2, 4]);
        assert_eq!(calls.get(), 2);
        assert_eq!([3, 4, 5, 6, 1].map(double), [6, 8, 10, 12, 2]);
        assert_eq!(calls.get(), 7, "only the last few are kept");
    }
}
