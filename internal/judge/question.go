package judge

// QuestionKind sorts questions by what seems to have happened.
type QuestionKind string

// The kinds of question.
const (
	AskCleaned       QuestionKind = "cleaned"
	AskHalfCleaned   QuestionKind = "half cleaned"
	AskOtherDevice   QuestionKind = "another device"
	AskChangedPlaces QuestionKind = "changed places"
	AskNeverMoves    QuestionKind = "never moves"
	AskNeighbour     QuestionKind = "typed for the neighbour"
	AskTransposed    QuestionKind = "digits exchanged"
	AskFactorTen     QuestionKind = "factor of ten"
	AskSlip          QuestionKind = "slip of the pen"
	AskWorks         QuestionKind = "works"
	AskUnsteady      QuestionKind = "unsteady"
	AskRescaled      QuestionKind = "rescaled"
)
