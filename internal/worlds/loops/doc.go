// Package loops gives random loops, works out by brute force what is so of small ones, and scores an engine's verdict.
// It was written from the words of the task and the formats alone, without sight of the engine, and imports nothing of
// the program.
//
// The definitions. Where the trade or the formats leave one open, the choice is marked "chosen".
//
//   - A loop is two cores. Each end of the panel is an ideal supply behind the source's ohms in each core; the ends share
//     their plus and their minus. An isolator's ohms lie at its side of the point, in the plus core or in both.
//   - States: healthy; each stretch open in both cores; each stretch shorted, the isolators next to it open; the start
//     after an interruption. In each but the start, every choice of alarms among the devices that are still fed, at most
//     AtOnce of them; at the lowest and the highest supply.
//     A break of one core alone is a state where it is asked for (OneCore); a test shows how little it adds.
//   - A short reaches along both cores up to the first isolator in each direction; the panel's terminals are isolators.
//     An isolator on a point's side towards the short keeps the point; one on its far side leaves the point to the short.
//   - Lost is a point that one core does not reach from either end.
//   - Limits: least volts of every device that is not lost; the amps of each plus terminal; where they are known, the
//     bounds of isolators; the rules of the site, by single opens and shorts. A limit just reached is kept.
//   - An isolator holds where its point has at least its bound in every state but the start (chosen). It opens where its
//     point has at most its bound while the short stands, isolators closed, loads and the limit of the ends left out (chosen).
//     It closes where its fed side has its bound at every stage at which it is next (chosen).
//   - Start: every device draws the larger of rest and alarm, whatever AtOnce says. Whole: the closed ring. Stepwise: every
//     pair of how far OUT and IN have come (chosen). All limits of volts and currents hold at every stage (chosen).
//   - No operating point: the volts have no solution. The upper one counts where there are two. Below its least volts no
//     model of a device holds; by how much a limit fails is then what the models say, continued.
//   - One third: more than one third of all devices. One floor: the floor lost whole is the one that leaves the fewest
//     devices too many, 5 being allowed on each floor beside it, all devices counted (chosen). Square metres are each
//     counted device's own.
//   - Missing facts have a safe and an unsafe side ([Fact]). Shown: nothing fails with all at the unsafe side. Fails:
//     something does with all at the safe side. Else not shown, and a fact settles it that, at its safe side, leaves it
//     shown whatever the others are.
package loops
