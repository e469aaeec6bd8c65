"""What each word of the panel asks for, for the page of help."""

from collections.abc import Mapping

from pourcoach.domain.advice import Word

WORD_MEANINGS: Mapping[Word, str] = {
    Word.TARE: "something stands on the scale that no tare has taken off: press t",
    Word.READY: "the scale stands at zero: begin to pour, and the clock starts by itself",
    Word.BLOOM: "wet the whole bed, up to the mark of the bloom",
    Word.POUR: "pour on, at the flow you have",
    Word.MORE: "pour a little faster, then keep that flow; or, stopped short, go on to the mark",
    Word.SLOW: "pour more slowly, then keep that flow",
    Word.STEADY: "the flow wanders: hold the stream even",
    Word.STOP: "stop now, and the water lands on the mark",
    Word.WAIT: "no water until the time beside the word has run out",
    Word.DRAIN: "all water is in: let the bed drain, then lift the brewer",
    Word.DONE: "the brew is over; its review follows",
    Word.SCALE: "no readings: see to the cable or radio; or a question, which the sentence asks",
}
