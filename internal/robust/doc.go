// Package robust holds the statistics that the engines stand on: slices in, numbers and reasons out.
//
// It knows nothing of what the numbers mean. The pieces are
//
//   - the centre and spread of one sample: [Median], [Quantile], [Moments], [Lag1], [MAD], [HodgesLehmann];
//   - how far a value lies from its peers: [ModifiedScale], [RobustScale];
//   - the noise within one sample taken in order: [SuccessiveSD], [VonNeumann], [Range];
//   - trend without a distribution: [TheilSen] with Sen's interval, [MannKendall];
//   - the least-squares line: [LeastSquares];
//   - the date at which a drifting value leaves a limit: [FitDrift], [Crossing].
//
// Times are plain numbers in any one unit; slopes come out per that unit and dates in that unit.
// Functions of one sample report unusable input (empty, NaN, infinite, beyond 1e150) by ok = false,
// functions of two series by an error that wraps one of the Err values. No input makes them panic,
// and NaN is never handed back as a result.
//
// The functions that run once per series on every request are also methods of [Scratch], which keeps
// the working space and the quantiles between calls. Formulas, sources, limits and outside checks are
// in docs/methods/robust.md.
package robust
