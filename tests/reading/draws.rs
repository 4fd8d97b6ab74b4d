//! Numbers drawn the same way on every machine: `SplitMix64`.

/// A stream of numbers from a seed.
#[derive(Debug, Clone)]
pub(super) struct Draws(u64);

impl Draws {
    /// Starts the stream.
    pub(super) const fn new(seed: u64) -> Self {
        Self(seed)
    }

    fn next(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        z ^ (z >> 31)
    }

    /// A number below `count`, which is above zero.
    pub(super) fn below(&mut self, count: usize) -> usize {
        let count = u64::try_from(count).expect("fits");
        usize::try_from(self.next() % count).expect("fits")
    }

    /// One of a list.
    pub(super) fn one_of<T: Copy>(&mut self, list: &[T]) -> T {
        list[self.below(list.len())]
    }

    /// Puts a list into another order, each as likely.
    pub(super) fn shuffle<T>(&mut self, list: &mut [T]) {
        for last in (1..list.len()).rev() {
            let other = self.below(last + 1);
            list.swap(last, other);
        }
    }
}
