//! The known name that a misspelt one stands for.

/// The name that a misspelt word stands for, if one is near enough.
pub(super) fn nearest<'n>(word: &str, names: impl Iterator<Item = &'n str>) -> Option<&'n str> {
    let slips = |name: &&str| strsim::damerau_levenshtein(word, name);
    let nearest = names.min_by_key(slips)?;
    // One slip in three letters; a word of the same beginning counts as well.
    let near = slips(&nearest) * 3 <= nearest.chars().count().max(3);
    let begins = word.len() >= 3 && (nearest.starts_with(word) || word.starts_with(nearest));
    (near && word.len() > 1 || begins).then_some(nearest)
}
