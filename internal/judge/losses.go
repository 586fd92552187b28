package judge

// TooLikely is the chance of being outside by the next visit from which a point counts as leaving its band: a little less than
// even.
const TooLikely = 0.4
