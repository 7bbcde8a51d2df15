//! The part of the network that works on pairs of frames (20 ms): twice the weights for the same multiplications.

use super::dense::Dense;
use super::store::Store;
use super::{ConvBlock, ModelError, Space, WholeWord, add};

/// Blocks on pairs of frames, in channels of their own.
pub struct Paired {
    into: Dense,
    blocks: Vec<ConvBlock>,
    hidden: usize,
    out: Dense,
}

impl Paired {
    /// Reads the part, where the file has one; `single` is the width of a frame outside it.
    ///
    /// # Errors
    /// When a tensor is missing or of another size.
    pub fn read(store: &Store<'_>, single: usize) -> Result<Option<Paired>, ModelError> {
        if !store.has("shape.slow") {
            return Ok(None);
        }
        let width = store.get("slow.in_bias")?.len();
        let hidden = store.get("slow0.up_bias")?.len();
        let mut blocks = Vec::new();
        for (i, dilation) in store.get("shape.slow")?.iter().enumerate() {
            blocks.push(store.block(&format!("slow{i}"), *dilation as usize, width, hidden)?);
        }
        Ok(Some(Paired {
            into: store.dense("slow.in", "slow.in_bias", 2 * single, width)?,
            blocks,
            hidden,
            out: store.dense("slow.out", "slow.out_bias", width, 2 * single)?,
        }))
    }

    /// Channels of a pair.
    pub fn width(&self) -> usize {
        self.into.outputs()
    }

    /// Adds to the `t` frames in `space.x` what is found in pairs of them, the whole word heard among it. A frame too few
    /// for the last pair is zeros.
    pub fn add(&self, t: usize, word: &WholeWord, space: &mut Space) {
        let single = self.out.outputs() / 2;
        let pairs = t.div_ceil(2);
        debug_assert_eq!(space.x.len(), t * single);
        std::mem::swap(&mut space.x, &mut space.single);
        space.single.resize(pairs * 2 * single, 0.0);
        self.into.apply(&space.single, pairs, &mut space.dense, &mut space.x);
        for block in &self.blocks {
            block.add(pairs, self.width(), self.hidden, space);
        }
        word.add(pairs, self.width(), space);
        self.out.apply(&space.x, pairs, &mut space.dense, &mut space.y);
        std::mem::swap(&mut space.x, &mut space.single);
        add(&mut space.x, &space.y);
        space.x.truncate(t * single);
    }
}
