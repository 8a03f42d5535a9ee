// Package loudness measures how loud a programme is and how high its true
// peaks reach, and says what gain brings it to a target.
//
// The method is that of ITU-R BS.1770-5 [BS1770]: K-weighting, mean power, a
// gate at -70 LUFS and one 10 LU below the mean of what passes the first; true
// peak by four times oversampling. Momentary (0.4 s) and short-term (3 s)
// loudness are as in EBU Tech 3341 [TECH3341], the loudness range as in EBU
// Tech 3342 [TECH3342]. Both windows move in steps of 10 ms, because a maximum
// of momentary loudness that is sought in steps of 100 ms misses up to 0.45 LU.
//
// Sound comes in pieces of any length: [NewMeter], [Meter.Add], then
// [Meter.Read] and [Meter.PeaksOver]. A meter keeps one number per 10 ms and two
// per 100 ms of programme, nothing of the sound. [GainTo] works out the gain.
//
// Left out: any change of the sound but a gain. Where the peaks forbid the gain
// that a target asks for, that is said and the rest is left to whoever mastered
// the record.
package loudness
