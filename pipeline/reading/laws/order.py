"""The laws in the order in which the facts of a note are held to them."""

from collections.abc import Sequence

from pipeline.reading.fact import Fact
from pipeline.reading.laws import (
    asked,
    bags,
    bags_told_of,
    contradicted,
    counts,
    counts_headed,
    counts_lacking,
    counts_put_right,
    counts_shares,
    counts_unclaimed,
    counts_unsaid,
    drained,
    findings,
    forgotten,
    gauged,
    hearsay,
    in_place,
    kept_by_tag,
    kept_with,
    leaning,
    listed_jobs,
    misread,
    named_again,
    not_done,
    on_and_off,
    other_things,
    patched,
    places,
    plugs,
    put_off_after_all,
    second_looks,
    seen_elsewhere,
    sent_away,
    sides,
    supports,
    tags,
    tags_beside,
    tags_in_a_row,
    they_are,
    torques,
    tried,
)
from pipeline.reading.laws.case import Case, Law
from pipeline.reading.lexicon import Lexicon
from pipeline.reading.reader import ReadByRule

LAWS: tuple[Law, ...] = (
    counts_unclaimed.with_counted_work,  # before all others: they hold it as they do what was read
    # What may not stand goes first, so that nothing after it leans on it.
    not_done.without_what_was_not_done,  # the first of all laws: a rumour of work is worse than work forgotten
    not_done.not_fitted_by_us,  # as the first
    not_done.without_what_was_excepted,  # as the first: before anything leans on what is not so
    not_done.not_what_it_only_looks_like,  # as the first
    not_done.leaves_on,  # as the first
    not_done.done_just_now,  # before the status of anything is asked
    bags.without_what_an_empty_bag_keeps,  # before what is in bags is told of the fasteners
    asked.of_what_was_asked,  # before anything leans on a part that was not asked about
    other_things.without_work_on_the_hangar,  # the same
    other_things.without_what_was_left_inside,  # the same
    other_things.without_people_who_sat_there,  # the same
    other_things.undone_by_splitting,  # the same
    other_things.of_what_was_just_made,  # the same
    on_and_off.put_on_with_get,  # the same
    misread.without_what_is_used_up,  # glue and paint are no parts, whatever else holds of them
    sides.kept_on_one_side,  # before the next, which may put the other one on the same side
    sides.within_one_assembly,  # before parts are compared with their sides
    sides.without_side_of_another_part,  # while the same of the other side is there to show it
    sides.told_of_one_side,  # while the surer reading of the same words is there
    sides.not_on_the_side_compared_with,  # before parts are told once
    sides.not_from_an_aside,  # before the next ask for sides
    sides.not_right_as_against_wrong,  # the same as the next
    sides.of_no_side_it_is_seen_from,  # once no side is asked for any more
    leaning.of_the_pipe_before,  # before parts are told twice
    on_and_off.with_pipes_on_at,  # beside the next, its counterpart
    misread.parted_where_off_at,  # before parts off are asked for
    misread.of_the_part_that_is_named,  # before parts off are asked for
    they_are.off_that_were_still_on,  # once it is known which part is named
    misread.of_its_leads,  # beside the last
    misread.lying_somewhere,  # before parts off are asked for
    misread.moved_out_of_its_store,  # before parts off are asked for
    misread.opened_by_nobody,  # while the crack that opened is there
    misread.covered_with_fabric,  # a blanked part becomes its new fabric: from here on acts and parts are as meant
    not_done.without_what_stays,  # work owed to nobody
    not_done.not_refitted_where_still_off,  # before parts off are asked for
    not_done.without_what_comes_back,  # work on what is elsewhere
    sent_away.without_what_is_done_there,  # the same
    findings.without_what_was_mended,  # while all repairs of the sentence are there to show it
    misread.without_holes_for_fasteners,  # before fasteners are asked for
    misread.of_a_part_and_not_its_whole,  # while the surer telling is there to show it
    misread.without_what_is_tied_together,  # before supports
    misread.without_covers_that_are_off,  # while the words that tell it are those of the cover
    misread.told_once,  # while both tellings are there: the surer one stays
    misread.of_one_part_by_a_short_name,  # the same
    misread.without_gear_stood_on,  # before supports: the cradle holds something up and is not put away itself
    supports.without_place_of_another,  # while the surer telling is there to show it
    findings.not_by_its_sound,  # before anything asks what is sound
    findings.dry_is_not_there,  # while both tellings are there
    # What stands is put right.
    findings.gone_where_cured,  # before the next two, which ask whether a finding is there
    findings.on_neither_end,  # before the next, which looks for the part on which a finding was seen
    findings.gone_from_where_it_was,  # once it is known what is gone, and of which parts the findings before are
    forgotten.plainly_put_on,  # before what only the rules read is added, with its doubt
    places.numbers_of_places,  # before ranges are asked for their ends
    places.of_the_panel_alone,  # what may not stand goes before the next, which lean on what stands
    places.of_what_holds_up_alone,  # the same
    places.as_said_anew,  # before ranges, and before what was seen somewhere is put right there
    places.where_it_was_seen,  # once no place of a finding is taken away
    seen_elsewhere.at_each_place,  # once no place of a finding is taken away or put right
    places.ranges_as_one,  # once no other place is taken away
    plugs.of_wires_where_parted,  # before services are asked for
    misread.torque_in_its_units,  # of nothing before it, and nothing leans on it
    # What is forgotten is added, each kind where others of its sentence are known.
    findings.with_what_was_cured,  # once it is known what is told as gone: not twice
    drained.where_it_is_held,  # a fluid is told of the part that holds it
    drained.lines_of_what_was_drained,  # once what was drained is there
    supports.with_all_supports,  # before all else that is added: what held up is asked of what was read alone
    supports.without_ribs_of_a_fuselage,  # after the last, which may take a trestle for one of the whole aircraft
    supports.with_what_was_let_down,  # after the supports that it ends
    forgotten.with_cracks,  # before wear, which is added only where its sentence tells nothing else
    findings.sound_where_none_is_named,  # once every crack is there, and before wear, which leaves sound parts alone
    findings.tears_in_cloth,  # once every crack is there: a tear in cloth is told once
    bags.without_what_befell_a_bag,  # the same
    findings.without_pins_that_are_split,  # once every crack is there
    forgotten.with_wear,  # before parts off, which are not connected where their sentence tells something else
    findings.of_what_has_it,  # once every crack and all wear is there
    patched.with_what_was_patched,  # once every crack is there; before parts off, which ask what else is told
    forgotten.with_parts_off,  # after all that may tell what its words tell
    named_again.of_the_bay_before,  # the same as the next
    named_again.of_the_same_name,  # after parts off, which the rules alone may have by another name
    not_done.left_as_it_is,  # after parts off, which the rules alone may read so
    misread.not_undone_out_of_a_bag,  # the same as the next
    on_and_off.without_what_is_off_charge,  # after parts off, which the rules alone may read so
    forgotten.with_what_went_there,  # before the next, which asks whether it was stored
    sent_away.with_what_was_sent_away,  # once all is there that may be "it"
    in_place.with_what_went_into_its_place,  # once it is known what was put away
    in_place.with_small_parts_in_place,  # the same
    forgotten.put_back_with_fasteners,  # once all that is put on is there
    forgotten.rigged_again,  # once what was plainly put on is there: beside it wires are those of the wings
    misread.locked_by_its_pins,  # once all is there that pins may tell
    tried.with_what_would_not_come,  # once all that may tell it is there; before tags, which look for a fact
    tags.of_what_they_are_on,  # before tags that lack, which look for a fact that bears them
    tags.with_numbers_on_tags,  # before tags that the rules read, which look for a fact without one
    tags.with_tags,  # once every fact is there that may carry one; before bags, which copy facts without tags
    tags_beside.without_what_only_lost_its_tag,  # while the tag is on what is told of it
    tags_beside.with_tags_beside_names,  # once every tag is there that a verb tells of
    tags_in_a_row.with_other_tags,  # once the first tag of several stands
    tags.on_the_side_said_of_each,  # once every tag is there
    kept_by_tag.kept_by_tag,  # once it is known what bears each tag
    bags.bags_of_fasteners,  # after tags: what becomes fasteners keeps no tag of theirs to look for
    bags.without_what_stays_in_its_hole,  # while what was parted is there to show it
    bags.told_of_a_bag_once,  # before the next, which asks what is told of a bag
    bags.with_bags_told_shortly,  # once what is in bags is known
    bags_told_of.as_it_was_before,  # once what is in the bags before is known
    bags_told_of.with_the_part_beside_its_bag,  # the same
    bags_told_of.with_what_follows_its_bag,  # of nothing before it, and nothing leans on it
    bags_told_of.with_all_that_are_listed,  # once one of them is in the bag
    bags_told_of.of_those_told_before,  # after the last, which knows what stands right beside a bag
    bags_told_of.with_fasteners_that_are_kept,  # once all is there that may be in a store
    misread.of_tags_that_came_off,  # once every tag is there
    misread.on_top_of_no_rack,  # of nothing before it, and nothing leans on it
    kept_with.with_what_is_kept_beside,  # once what is in stores is known
    places.moved_to_its_store,  # of nothing before it, and nothing leans on it
    places.in_a_bay,  # once what is in bags is known: what has no other place
    places.not_where_it_went,  # once it is known what stands in a bay of the hangar
    counts_headed.by_their_heading,  # before all other laws of numbers: these are whole
    counts_headed.so_many_of_all,  # before sums, and before what is told twice is dropped
    counts_lacking.with_what_it_is_short_of,  # before sums, of which it is none
    counts_headed.counted_once,  # before sums, which add up what is told
    counts_put_right.with_numbers_put_right,  # once what is counted under its heading is there
    counts_unsaid.with_their_objects,  # before the next, which asks of what they are
    counts_unsaid.of_fasteners,  # before the other laws of numbers, which ask of what they are
    counts.shared_out,  # numbers once all facts of the sentence are there
    counts.added_up,  # after sharing out: a sum told is no sum to be shared
    counts.of_the_one,  # after what was told of several is known
    leaning.of_a_new_one,  # once it is known what is faulty
    leaning.with_a_new_one_owed,  # the same
    leaning.with_fewer_put_back,  # once every number counts what it counts
    listed_jobs.with_the_second_object,  # the same
    listed_jobs.with_the_next_job,  # the same, and once bags are known
    leaning.with_the_same,  # once all is there that may be the same
    leaning.with_what_was_after_all,  # the same
    they_are.with_what_was_left,  # once all is there that was done before
    leaning.with_the_rest,  # once it is known how many were done
    forgotten.with_the_whole_list,  # once all other parts of a list are there
    forgotten.with_what_is_listed,  # after numbers: what is listed has none of its own
    counts_unsaid.more_of_them,  # before numbers are asked for by their sides
    counts_shares.some_more,  # once those are right that were told of before
    counts_shares.shares_of_all,  # beside the last: both lean on what was told of before
    counts_unsaid.without_numbers_said_before,  # once no fact borrows a number any more
    counts_unsaid.counted_where_it_is_held,  # the same, of what an earlier sentence told
    counts.of_both,  # once no number is one of several or borrowed; before sums, of which it may be a part
    counts.summed_up,  # once every number is that of one, where it is of one
    counts_unsaid.as_worked_out,  # once every number has its noun
    counts_unsaid.altogether,  # the last that changes a number
    counts_unclaimed.with_so_many_of_them,  # before the next, which asks for no number
    counts_unclaimed.with_fasteners_beside,  # once it is known what every other number counts
    counts_headed.of_those_before,  # once every number has been told of what it counts
    seen_elsewhere.with_numbers_elsewhere,  # once it is known what is counted of the first
    counts_shares.only_about,  # once every number is as it stays
    torques.of_what_is_tightened,  # once every number is as it stays
    gauged.with_what_was_measured,  # once every measure is as it stays
    gauged.with_what_a_gauge_showed,  # the same
    second_looks.with_second_looks,  # once all is there that may tell of them
    contradicted.with_what_was_answered,  # before the next, which takes back what is denied
    hearsay.with_what_others_told,  # the same: what was only said may be denied
    contradicted.denied_after_all,  # once nothing is added any more: of all that was only said to be so
    contradicted.without_what_is_still_on,  # the same
    on_and_off.off_or_shut,  # once it is known what is kept where: a doubt
    sides.of_both_that_are_said,  # before the next, which asks for both
    sides.of_the_one_after_all,  # once both are there, those of both sides and those of one
    put_off_after_all.planned_after_all,  # once all is there that may be put off
    sides.of_the_rest,  # once both are there, those that were done and the rest
    sides.asked_of_all,  # once no side changes any more: a doubt of every side that is left
    hearsay.told_by_hearsay,  # the last: a doubt of all that others told and nobody took back
)
"""Each holds what its name says; why it stands where it does is beside it."""


def held_to(lexicon: Lexicon, rules: ReadByRule, read: Sequence[Fact]) -> list[Fact]:
    """Return the facts of one note that may stand: those read, held to the laws, and what they forgot.

    Args:
        lexicon: of the vocabulary.
        rules: what the rules read.
        read: the facts that the two readings together gave.
    """
    case, facts = Case(lexicon, rules), list(read)
    for law in LAWS:
        facts = law(case, facts)
    return facts
