package cues

import (
	"maps"
	"slices"
)

// Code names one kind of problem. A code never changes its meaning: pages,
// scripts and tests may branch on it.

// What is wrong with the text of a file.
const (
	CodeFileMissing  = "file-missing"
	CodeFileRead     = "file-read"
	CodeFileTooBig   = "file-too-big"
	CodeFileIgnored  = "file-ignored"
	CodeTooMany      = "too-many-problems"
	CodeYAMLSyntax   = "yaml-syntax"
	CodeYAMLEncoding = "yaml-encoding"
	CodeYAMLTooDeep  = "yaml-too-deep"
	CodeYAMLAnchor   = "yaml-anchor"
	CodeYAMLTag      = "yaml-tag"
	CodeYAMLDocument = "yaml-document"
)

// What is wrong with one value, seen by itself.
const (
	CodeWrongShape   = "wrong-shape"
	CodeUnknownKey   = "unknown-key"
	CodeDuplicateKey = "duplicate-key"
	CodeMissingKey   = "missing-key"
	CodeEmptyValue   = "empty-value"
	CodeBadName      = "bad-name"
	CodeBadNumber    = "bad-number"
	CodeBadUnit      = "bad-unit"
	CodeOutOfRange   = "out-of-range"
	CodeBadWord      = "bad-word"
	CodeBadColour    = "bad-colour"
	CodeBadLevel     = "bad-level"
	CodeBadTime      = "bad-time"
	CodeBadTimecode  = "bad-timecode"
	CodeBadAddress   = "bad-address"
	CodeBadPort      = "bad-port-address"
	CodeBadReceiver  = "bad-receiver"
	CodeBadRange     = "bad-range"
	CodeBadChannels  = "bad-channels"
	CodeBadLampType  = "bad-lamp-type"
	CodeBadSensor    = "bad-sensor"
	CodeBadReading   = "bad-reading"
	CodeBadSpectrum  = "bad-spectrum"
	CodeBadGeometry  = "bad-geometry"
	CodeBadMesh      = "bad-mesh"
	CodeBadUID       = "bad-uid"
	CodeBadGobo      = "bad-gobo"
)

// What names something that is not there.
const (
	CodeUnknownType      = "unknown-lamp-type"
	CodeUnknownMode      = "unknown-mode"
	CodeUnknownLamp      = "unknown-lamp"
	CodeUnknownGroup     = "unknown-group"
	CodeUnknownMark      = "unknown-mark"
	CodeUnknownLook      = "unknown-look"
	CodeUnknownSetup     = "unknown-setup"
	CodeUnknownCue       = "unknown-cue"
	CodeUnknownLocation  = "unknown-location"
	CodeUnknownCharacter = "unknown-character"
	CodeUnknownColour    = "unknown-colour"
	CodeUnknownParameter = "unknown-parameter"
	CodeUnknownSensor    = "unknown-sensor"
	CodeUnknownEmitter   = "unknown-emitter"
	CodeUnknownSpectrum  = "unknown-spectrum"
	CodeUnknownMesh      = "unknown-mesh"
	CodeUnknownGobo      = "unknown-gobo"
	CodeNoSuchCell       = "no-such-cell"
)

// What does not fit together.
const (
	CodeAddressOverlap   = "address-overlap"
	CodeAddressOverrun   = "address-overrun"
	CodePortZero         = "port-address-zero"
	CodeOutputOverlap    = "output-overlap"
	CodeOutputUnused     = "output-unused"
	CodeNoOutput         = "no-output"
	CodeNoSACNUniverse   = "no-sacn-universe"
	CodeLampTwice        = "lamp-twice"
	CodeCellTwice        = "cell-twice"
	CodeDuplicateName    = "duplicate-name"
	CodeUIDTwice         = "uid-twice"
	CodeEmptyGroup       = "empty-group"
	CodeUngrouped        = "lamp-in-no-group"
	CodeUnpainted        = "group-unpainted"
	CodeNoDirection      = "no-direction"
	CodeFromCycle        = "from-cycle"
	CodeWearsNobody      = "wears-nobody"
	CodeColourImpossible = "colour-impossible"
	CodeColourOutOfReach = "colour-out-of-reach"
	CodePatternColours   = "pattern-colours"
	CodePatternCrowded   = "pattern-crowded"
	CodeNoLevel          = "no-level"
	CodeEmptyPaint       = "empty-paint"
	CodeBadMotion        = "bad-movement"
	CodeFlashing         = "flashing"
	CodeNoTempo          = "no-tempo"
	CodeNoFrameRate      = "no-frame-rate"
	CodeTimeTooLong      = "time-too-long"
	CodeAfterNothing     = "after-nothing"
	CodeTimecodeOrder    = "timecode-order"
	CodeFadeSteps        = "fade-steps"
	CodeFadeJumps        = "fade-jumps"
	CodePathNoWhite      = "path-no-white"
	CodeNoFloorLight     = "no-floor-light"
	CodeNoLamps          = "no-lamps"
	CodeNoLocation       = "no-location"
	CodeNeedsPhotometry  = "needs-photometry"
	CodeGroupNotHere     = "group-not-here"
	CodeNothingInCommon  = "nothing-in-common"
	CodeMatchDims        = "match-dims"
	CodePolicyImpossible = "policy-impossible"
	CodeReadingUnit      = "reading-unit"
	CodeReadingFar       = "reading-far"
	CodeReadingUnused    = "reading-unused"
	CodeReadingsClash    = "readings-clash"
	CodeCurveFalls       = "curve-falls"
	CodeLampInside       = "lamp-inside"
	CodeCameraInside     = "camera-inside"
	CodeMarkInside       = "mark-inside"
	CodeMarkFloats       = "mark-floats"
	CodeStandInInside    = "stand-in-inside"
	CodePiecesCoincide   = "pieces-coincide"
	CodeLevelOff         = "level-off"
	CodeLevelNoLight     = "level-no-light"
	CodeLevelRing        = "level-ring"
	CodeTrimOver         = "trim-over"
)

// What stands in the way of an edit.
const (
	CodeBadEdit       = "bad-edit"
	CodeEditUnsure    = "edit-unsure"
	CodeEditStale     = "edit-stale"
	CodeEditByHand    = "edit-by-hand"
	CodeNothingToUndo = "nothing-to-undo"
	CodeUndoBlocked   = "undo-blocked"
	CodeHistoryLost   = "history-lost"
)

type codeInfo struct {
	severity    Severity
	explanation string
}

// catalogue holds every code once, with one sentence that is true of every
// problem that carries it.
var catalogue = map[string]codeInfo{
	CodeFileMissing:  {Error, "a file that every show needs is not there"},
	CodeFileRead:     {Error, "a file is there but cannot be read"},
	CodeFileTooBig:   {Error, "a file is larger than any show file needs to be"},
	CodeFileIgnored:  {Warning, "a file lies where show files lie but is not read"},
	CodeTooMany:      {Error, "more problems were found than are worth reading at once"},
	CodeYAMLSyntax:   {Error, "the file is not valid YAML"},
	CodeYAMLEncoding: {Error, "the file is not UTF-8 text"},
	CodeYAMLTooDeep:  {Error, "lists and maps are nested deeper than a show ever needs"},
	CodeYAMLAnchor:   {Error, "anchors, aliases and merge keys are not part of the show format"},
	CodeYAMLTag:      {Error, "YAML tags are not part of the show format"},
	CodeYAMLDocument: {Error, "a show file holds exactly one YAML document"},

	CodeWrongShape:   {Error, "a list, a map or a single value stands where another of the three belongs"},
	CodeUnknownKey:   {Error, "a key is not one of those known at this place"},
	CodeDuplicateKey: {Error, "a key stands twice in one map"},
	CodeMissingKey:   {Error, "a key that is needed at this place is not there"},
	CodeEmptyValue:   {Error, "a key has no value"},
	CodeBadName:      {Error, "a name has characters that names cannot have"},
	CodeBadNumber:    {Error, "a number cannot be read"},
	CodeBadUnit:      {Error, "a number has no unit where it needs one, or the wrong unit"},
	CodeOutOfRange:   {Error, "a number is outside the range that makes sense for it"},
	CodeBadWord:      {Error, "a word is not one of the few that are possible here"},
	CodeBadColour:    {Error, "a colour is written in no form that is known"},
	CodeBadLevel:     {Error, "a level is written in no form that is known"},
	CodeBadTime:      {Error, "a time is written in no form that is known"},
	CodeBadTimecode:  {Error, "a text is no time code, or names a frame that does not exist at its rate"},
	CodeBadAddress:   {Error, "an address is not net:sub-net:universe.slot"},
	CodeBadPort:      {Error, "a port-address is not net:sub-net:universe"},
	CodeBadReceiver:  {Error, "where an output goes to is no IPv4 address of a device"},
	CodeBadRange:     {Error, "a range of names or cells cannot be read"},
	CodeBadChannels:  {Error, "the channels of a mode cannot be read"},
	CodeBadLampType:  {Error, "a lamp type contradicts itself"},
	CodeBadSensor:    {Error, "a table of a camera's sensitivities cannot be read"},
	CodeBadReading:   {Error, "no meter could have read this of the lamp"},
	CodeBadSpectrum:  {Error, "a table of a measured spectrum cannot be read"},
	CodeBadGeometry:  {Error, "a thing has no shape that light could meet"},
	CodeBadMesh:      {Error, "a file of a surface cannot be read"},
	CodeBadGobo:      {Error, "a picture cannot be projected, or not by this lamp"},
	CodeBadUID:       {Error, "no device can have this unique identifier"},

	CodeUnknownType:      {Error, "no lamp type has this name"},
	CodeUnknownMode:      {Error, "the lamp type has no mode of this name"},
	CodeUnknownLamp:      {Error, "no lamp of the kit or of the rig has this name"},
	CodeUnknownGroup:     {Error, "no group has this name"},
	CodeUnknownMark:      {Error, "no mark has this name"},
	CodeUnknownLook:      {Error, "no look has this name"},
	CodeUnknownSetup:     {Error, "the location has no set-up of this name"},
	CodeUnknownCue:       {Error, "the cue sheet has no cue of this number"},
	CodeUnknownLocation:  {Error, "the show has no location of this name"},
	CodeUnknownCharacter: {Error, "the cast has no character of this name"},
	CodeUnknownColour:    {Error, "the character owns no colour of this name"},
	CodeUnknownParameter: {Error, "no lamp of the group has a parameter of this name"},
	CodeUnknownEmitter:   {Error, "the lamp type has no emitter of this name"},
	CodeUnknownSpectrum:  {Error, "no file of the show is called like this spectrum"},
	CodeUnknownMesh:      {Error, "no file of the show is called like this mesh"},
	CodeUnknownGobo:      {Error, "no file of the show is called like this picture"},
	CodeUnknownSensor:    {Error, "no camera sensor has this name and no file of the show is called so"},
	CodeNoSuchCell:       {Error, "the lamp has fewer cells in its mode"},

	CodeAddressOverlap:   {Error, "two lamps listen to the same slots"},
	CodeAddressOverrun:   {Error, "a lamp reaches past slot 512, the last of its universe"},
	CodePortZero:         {Warning, "Art-Net 4 deprecates port-address 0:0:0"},
	CodeOutputOverlap:    {Error, "two outputs send the same universe to one network by one protocol"},
	CodeOutputUnused:     {Warning, "an output carries a universe that no lamp of the location is on"},
	CodeNoOutput:         {Warning, "a lamp is on a universe that no output of the location carries"},
	CodeNoSACNUniverse:   {Error, "a port-address has no universe of sACN, which has 1 to 63999"},
	CodeLampTwice:        {Error, "one lamp of the kit stands in two places at once"},
	CodeCellTwice:        {Warning, "a group names a cell twice"},
	CodeDuplicateName:    {Error, "two things of one kind have the same name"},
	CodeUIDTwice:         {Error, "two lamps of the kit have the unique identifier of one"},
	CodeEmptyGroup:       {Error, "a group has no members"},
	CodeUngrouped:        {Warning, "a lamp is in no group, so no look can light it"},
	CodeUnpainted:        {Warning, "a group is used by no look, so its name may be a slip"},
	CodeNoDirection:      {Warning, "a lamp with several cells does not say which way they run"},
	CodeFromCycle:        {Error, "looks start from each other in a ring"},
	CodeWearsNobody:      {Error, "a look names a character's colour but wears no character"},
	CodeColourImpossible: {Error, "no light can have this colour"},
	CodeColourOutOfReach: {Warning, "a lamp cannot show this colour and shows the nearest on the way to white"},
	CodePatternColours:   {Error, "a pattern has too few or too many colours"},
	CodePatternCrowded:   {Warning, "a pattern has more colours than the group has cells"},
	CodeNoLevel:          {Warning, "paint has a colour but no level, and no paint under it has one, so it stays dark"},
	CodeEmptyPaint:       {Error, "paint gives a group neither colour nor level nor movement nor parameters"},
	CodeBadMotion:        {Error, "what a movement says does not belong together"},
	CodeFlashing:         {Error, "moving light flashes more than three times a second, and the show does not say that people are warned"},
	CodeNoTempo:          {Error, "a time in beats or bars needs a tempo"},
	CodeNoFrameRate:      {Error, "a time in frames or on screen needs frame rates"},
	CodeTimeTooLong:      {Error, "a time is longer than a day"},
	CodeTimecodeOrder:    {Warning, "cues have time codes in another order than they stand in the cue sheet"},
	CodeAfterNothing:     {Warning, "the first cue has no cue before it to run after"},
	CodeFadeSteps:        {Warning, "a fade is so slow for the bits of its lamps that single steps of light are seen"},
	CodeFadeJumps:        {Warning, "a fade is so fast that the camera's frames show it as jumps"},
	CodePathNoWhite:      {Warning, "a path from white to white is asked of a lamp that shows another colour"},
	CodeNoFloorLight:     {Warning, "people may have to move without floor light"},
	CodeNoLamps:          {Warning, "a location has no lamps"},
	CodeNoLocation:       {Error, "a show without a location has nothing to light"},
	CodeNeedsPhotometry:  {Warning, "a level is measured at a mark whose light is not computed yet, and another is used instead"},
	CodeLevelOff:         {Warning, "lamps cannot give the level that is asked of them at a mark"},
	CodeLevelNoLight:     {Warning, "a level is measured where its lamps, or those it is measured under, give no light"},
	CodeLevelRing:        {Error, "levels are measured under each other in a ring"},
	CodeTrimOver:         {Warning, "a set-up trims lamps past their full light"},
	CodeBadEdit:          {Error, "an edit asks for something that no show has"},
	CodeEditUnsure:       {Error, "a file is written in a way that no edit can change with certainty"},
	CodeEditStale:        {Error, "an edit was made for a show that has changed since"},
	CodeEditByHand:       {Error, "a file of the show was changed by hand in the meantime"},
	CodeNothingToUndo:    {Error, "there is no edit to undo, or none to make again"},
	CodeUndoBlocked:      {Error, "an edit cannot be undone, as its lines were changed by hand since"},
	CodeHistoryLost:      {Warning, "edits made before can no longer be undone"},
	CodeGroupNotHere:     {Warning, "the show names a group that this location does not have"},
	CodeNothingInCommon:  {Warning, "lamps are to match but have no colour that all of them can show"},
	CodeMatchDims:        {Warning, "a lamp gives much less light than it could, as it is matched to a weaker one"},
	CodePolicyImpossible: {Warning, "a lamp cannot be mixed by the policy it is under and is mixed brightest"},
	CodeReadingUnit:      {Warning, "a reading looks as if it were in another unit, and is left out"},
	CodeReadingFar:       {Warning, "a reading is far from what a lamp of its type gives"},
	CodeReadingUnused:    {Warning, "lux that were read say nothing, as the lamp type has no beam angle"},
	CodeReadingsClash:    {Warning, "readings of one lamp cannot all be true"},
	CodeCurveFalls:       {Warning, "a lamp was read to give less light at a higher level"},
	CodeLampInside:       {Warning, "a lamp stands inside a set piece, so its light gets nowhere in pictures and meters"},
	CodeCameraInside:     {Warning, "a camera stands inside something, so its picture shows nothing"},
	CodeMarkInside:       {Warning, "a mark lies inside a set piece, so no light is metered there"},
	CodeMarkFloats:       {Warning, "a mark or a stand-in has no surface under it, so nobody could stand there"},
	CodeStandInInside:    {Warning, "a stand-in stands in a set piece"},
	CodePiecesCoincide:   {Warning, "two set pieces fill the same place, so it is chance which of the two is seen"},
}

// Explain gives the one-sentence explanation of a code, "" for an unknown one.
func Explain(code string) string { return catalogue[code].explanation }

// Codes lists every code in alphabetical order.
func Codes() []string { return slices.Sorted(maps.Keys(catalogue)) }

// NewProblem makes a problem whose severity is that of its code; a code that
// is not in the catalogue makes an error.
func NewProblem(at Pos, code, what, why, mend string) *Problem {
	severity := Error
	if info, ok := catalogue[code]; ok {
		severity = info.severity
	}
	return &Problem{Pos: at, Code: code, Severity: severity, What: what, Why: why, Mend: mend}
}
