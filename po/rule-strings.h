/* Written by rule-strings.py from data/rules, for xgettext. Keep what stands in {} as it is. */
/* TRANSLATORS: rule sand-through-fused says; keep the words in braces. */
N_ ("Sanded through: the clear is gone here.")
/* TRANSLATORS: rule sand-through-fused clears; keep the words in braces. */
N_ ("Touch in the colour, mist or fill over it, and recoat as far as the panel; then enter the repair.")
/* TRANSLATORS: rule sand-through-not-fused clears; keep the words in braces. */
N_ ("Touch in the colour, then recoat the whole face to a natural break: a patch would show. Enter the repair.")
/* TRANSLATORS: rule sand-through clears; keep the words in braces. */
N_ ("Find out whether the coats fuse. If they do, colour and fill; if not, colour and recoat the whole face. Enter the repair.")
/* TRANSLATORS: rule burn says; keep the words in braces. */
N_ ("A heat mark: the film has softened or smeared here.")
/* TRANSLATORS: rule burn clears; keep the words in braces. */
N_ ("Leave it until tomorrow, scrape down what stands up, and enter the repair. Refine again if film is left.")
/* TRANSLATORS: rule witness-line-not-fused says; keep the words in braces. */
N_ ("A witness line: the last coat is cut through to the one below, and these coats do not fuse.")
/* TRANSLATORS: rule witness-line-not-fused clears; keep the words in braces. */
N_ ("Do not chase it. Recoat the whole face to a natural break and level within that coat; enter the repair.")
/* TRANSLATORS: rule shrink-back says; keep the words in braces. */
N_ ("Shrink-back: the film has sunk here.")
/* TRANSLATORS: rule shrink-back clears; keep the words in braces. */
N_ ("Wait longer and refine again if film is left and the client wants it; or accept it, agreed in writing.")
/* TRANSLATORS: rule faults-to-repair says; keep the words in braces. */
N_ ("Still open: {faults}.")
/* TRANSLATORS: rule faults-to-repair clears; keep the words in braces. */
N_ ("More sanding will not mend it: repair it and enter the repair, or accept it with a reason.")
/* TRANSLATORS: rule carried-faults-fused says; keep the words in braces. */
N_ ("Still open at the last grit: {faults}.")
/* TRANSLATORS: rule carried-faults-fused clears; keep the words in braces. */
N_ ("Level it out, or drop fill it: these coats fuse, so the fill joins. Enter the repair, or accept with a reason.")
/* TRANSLATORS: rule carried-faults clears; keep the words in braces. */
N_ ("Level it out, or fill it, knowing that the rim of a fill may show. Enter the repair, or accept with a reason.")
/* TRANSLATORS: rule open-defect says; keep the words in braces. */
N_ ("A defect on record is still open here.")
/* TRANSLATORS: rule open-defect clears; keep the words in braces. */
N_ ("Repair it and tell so, or tell why it is accepted or left as agreed.")
/* TRANSLATORS: rule film-under-reserve says; keep the words in braces. */
N_ ("Too little film: {film_um} is left over a reserve of {reserve_um}, a risk of {risk_now}.")
/* TRANSLATORS: rule film-under-reserve clears; keep the words in braces. */
N_ ("Leave it and refine from here, fill, recoat, or accept it with a reason.")
/* TRANSLATORS: rule film-at-its-end says; keep the words in braces. */
N_ ("Too little film: {film_um} is left, and no reserve is said; the risk of going through is {risk_now}.")
/* TRANSLATORS: rule film-short-for-next-pass says; keep the words in braces. */
N_ ("The film is too short for another pass: the risk would be {risk_after_next_pass}; {risk_limit} is the limit.")
/* TRANSLATORS: rule last-coat-short-for-next-pass says; keep the words in braces. */
N_ ("Another pass could reach the coat below: a risk of {last_coat_risk_after_next_pass}; {risk_limit} is the limit.")
/* TRANSLATORS: rule last-coat-short-for-next-pass clears; keep the words in braces. */
N_ ("Recoat now, the whole face: it costs one coat. After a witness line it costs the face. Or refine from here, fill, or accept with a reason.")
/* TRANSLATORS: rule deep-scratch says; keep the words in braces. */
N_ ("The scratch cannot come out: the film is too short for another pass.")
/* TRANSLATORS: rule deep-scratch clears; keep the words in braces. */
N_ ("Fill it, recoat, refine from here and leave it, or accept it with a reason.")
/* TRANSLATORS: rule scratch-at-first-grit says; keep the words in braces. */
N_ ("Two passes have left the scratch as it was, and no coarser grit is planned here.")
/* TRANSLATORS: rule scratch-at-first-grit clears; keep the words in braces. */
N_ ("Plan a coarser grit for this zone if the film allows; else fill it, recoat, refine from here, or accept with a reason.")
/* TRANSLATORS: rule hollow says; keep the words in braces. */
N_ ("A hollow: two passes have left the low spot of {largest_island_mm} as it was, and the rest is level.")
/* TRANSLATORS: rule hollow clears; keep the words in braces. */
N_ ("Leave off: sanding here digs. Refine from here, fill it, recoat, or accept it with a reason.")
/* TRANSLATORS: rule wheel-carried-other says; keep the words in braces. */
N_ ("The wheel has carried another compound.")
/* TRANSLATORS: rule wheel-carried-other clears; keep the words in braces. */
N_ ("Wipe off, and go over it again with a wheel that has only ever carried this compound; or accept with a reason.")
/* TRANSLATORS: rule wheel-not-known says; keep the words in braces. */
N_ ("What the wheel has carried is not known.")
/* TRANSLATORS: rule wheel-not-known clears; keep the words in braces. */
N_ ("Say what the wheel has carried, or take a new one for this compound alone; or accept with a reason.")
/* TRANSLATORS: rule cure says; keep the words in braces. */
N_ ("Not cured: the last coat is {days_since_coat} old, and this finish takes {cure_days}.")
/* TRANSLATORS: rule cure clears; keep the words in braces. */
N_ ("Leave it another {cure_days_left}.")
/* TRANSLATORS: rule cure warns; keep the words in braces. */
N_ ("Not cured: soft film loads the paper and sinks later. Leave it another {cure_days_left}.")
/* TRANSLATORS: rule paper-loaded says; keep the words in braces. */
N_ ("The paper loaded: the film is still soft, whatever the calendar says.")
/* TRANSLATORS: rule paper-loaded clears; keep the words in braces. */
N_ ("Leave it some days, then try a few strokes with fresh paper.")
/* TRANSLATORS: rule fill-cure says; keep the words in braces. */
N_ ("The fill is {days_since_fill} old and still shrinks; it takes {fill_cure_days}.")
/* TRANSLATORS: rule fill-cure clears; keep the words in braces. */
N_ ("Leave it another {fill_cure_days_left}. A next drop may go on after four or five hours.")
/* TRANSLATORS: rule fill-cure warns; keep the words in braces. */
N_ ("The fill still shrinks: levelled now, it sinks later. Leave it another {fill_cure_days_left}.")
/* TRANSLATORS: rule warm-after-buffing says; keep the words in braces. */
N_ ("Still warm from the wheel: buffed {minutes_since_buff} ago.")
/* TRANSLATORS: rule warm-after-buffing clears; keep the words in braces. */
N_ ("Let it cool another {cool_minutes_left}: no wiping and no compound before.")
/* TRANSLATORS: rule warm-surface says; keep the words in braces. */
N_ ("The surface is at {surface_celsius}: too warm to wipe or buff.")
/* TRANSLATORS: rule warm-surface clears; keep the words in braces. */
N_ ("Let it cool to under 40 °C and read it again.")
/* TRANSLATORS: rule rest says; keep the words in braces. */
N_ ("At rest for {days_since_buff}; this finish takes {rest_days} before hand-over.")
/* TRANSLATORS: rule rest clears; keep the words in braces. */
N_ ("Leave it another {rest_days_left}, then look for what has sunk.")
/* TRANSLATORS: rule first-look says; keep the words in braces. */
N_ ("Not looked at dry before the first pass.")
/* TRANSLATORS: rule first-look clears; keep the words in braces. */
N_ ("Look with the lamp low, from several sides: runs, nibs, craters, dry spray.")
/* TRANSLATORS: rule cure-not-known says; keep the words in braces. */
N_ ("When the last coat was sprayed is not recorded: nobody can say it is cured.")
/* TRANSLATORS: rule cure-not-known clears; keep the words in braces. */
N_ ("Enter the last coat. Until then try a nail, then a few strokes of fresh paper, in a hidden spot.")
/* TRANSLATORS: rule looked-at-poorly says; keep the words in braces. */
N_ ("Looked at only wet, unwiped, dusty, warm or hazed: such a look does not count.")
/* TRANSLATORS: rule looked-at-poorly clears; keep the words in braces. */
N_ ("Wipe it dry and look again.")
/* TRANSLATORS: rule not-looked-at says; keep the words in braces. */
N_ ("Not looked at since it was last worked.")
/* TRANSLATORS: rule not-looked-at clears; keep the words in braces. */
N_ ("Wipe it, let it dry, and look.")
/* TRANSLATORS: rule nothing-said says; keep the words in braces. */
N_ ("Looked at, but how even it is was not said.")
/* TRANSLATORS: rule nothing-said clears; keep the words in braces. */
N_ ("Say what the whole zone shows: even, or what is left.")
/* TRANSLATORS: rule lamp-along-strokes says; keep the words in braces. */
N_ ("The lamp stood at {lamp_across_strokes_deg} to the strokes before; 60° or more shows them.")
/* TRANSLATORS: rule lamp-along-strokes clears; keep the words in braces. */
N_ ("Look with the lamp across the strokes of the grit before, or from two sides across each other.")
/* TRANSLATORS: rule lamp-along-strokes unsure; keep the words in braces. */
N_ ("How the strokes before ran is not known: two lamps across each other tell, one does not.")
/* TRANSLATORS: rule lamps-not-across says; keep the words in braces. */
N_ ("Before the wheel it wants two looks with the lamp across: so far {lamps_across_deg} apart; 60° is wanted.")
/* TRANSLATORS: rule lamps-not-across clears; keep the words in braces. */
N_ ("Look once more with the lamp a quarter turn further round.")
/* TRANSLATORS: rule marks-from-before says; keep the words in braces. */
N_ ("Marks from before, not looked at since: {marks_not_revisited}.")
/* TRANSLATORS: rule marks-from-before clears; keep the words in braces. */
N_ ("Look at each of them and say whether it is still there.")
/* TRANSLATORS: rule neighbour-repaired says; keep the words in braces. */
N_ ("The zone beside it was repaired, close to this one, since it was last looked at.")
/* TRANSLATORS: rule neighbour-repaired clears; keep the words in braces. */
N_ ("Look at the edge towards the repair.")
/* TRANSLATORS: rule not-wiped-after-buffing says; keep the words in braces. */
N_ ("Not wiped clear since buffing: the oils of the compound hide scratches.")
/* TRANSLATORS: rule not-wiped-after-buffing clears; keep the words in braces. */
N_ ("Wipe with spirit, or with what this finish bears, and look again.")
/* TRANSLATORS: rule not-wiped-after-buffing unsure; keep the words in braces. */
N_ ("Whether it was wiped clear since buffing is not known: the oils of the compound hide scratches.")
/* TRANSLATORS: rule one-light-after-buffing says; keep the words in braces. */
N_ ("Seen in one kind of light only.")
/* TRANSLATORS: rule one-light-after-buffing clears; keep the words in braces. */
N_ ("Look in a second kind of light: daylight, or a point light from above.")
/* TRANSLATORS: rule witness-line-fused says; keep the words in braces. */
N_ ("A contour, though these coats fuse: the rim of a fill, or the edge of a colour.")
/* TRANSLATORS: rule witness-line-fused clears; keep the words in braces. */
N_ ("Look closer. The rim of a fill goes with the next pass; the edge of a colour is a sand-through: mark it so.")
/* TRANSLATORS: rule witness-line says; keep the words in braces. */
N_ ("A contour, and whether these coats fuse is not known.")
/* TRANSLATORS: rule witness-line clears; keep the words in braces. */
N_ ("Find out before anything else: if they do not fuse, it is a witness line and the face wants a coat.")
/* TRANSLATORS: rule dull-after-buffing says; keep the words in braces. */
N_ ("Dull after buffing: it may be residue.")
/* TRANSLATORS: rule dull-after-buffing clears; keep the words in braces. */
N_ ("Wipe it clear and look at the spot again; if it stays, buff once more.")
/* TRANSLATORS: rule not-looked-at-after-rest says; keep the words in braces. */
N_ ("Not looked at since the rest was over.")
/* TRANSLATORS: rule not-looked-at-after-rest clears; keep the words in braces. */
N_ ("Look for what has sunk: pores, joints, the edges of fills.")
/* TRANSLATORS: rule rest-not-known says; keep the words in braces. */
N_ ("When it was last buffed is not recorded: nobody can say how long it has rested.")
/* TRANSLATORS: rule rest-not-known clears; keep the words in braces. */
N_ ("Enter the last buffing with the time it happened.")
/* TRANSLATORS: rule stalled says; keep the words in braces. */
N_ ("The last pass took away less than a tenth of what was left: the paper is worn.")
/* TRANSLATORS: rule stalled clears; keep the words in braces. */
N_ ("Take fresh paper and go over it again; if that does no more, a coarser grit.")
/* TRANSLATORS: rule scratch-back says; keep the words in braces. */
N_ ("Two passes have left the scratch as it was: this grit does not reach it.")
/* TRANSLATORS: rule scratch-back clears; keep the words in braces. */
N_ ("Take the whole zone back to {back}, and feather into the zones beside it.")
/* TRANSLATORS: rule scratch says; keep the words in braces. */
N_ ("A scratch coarser than this grit is left.")
/* TRANSLATORS: rule scratch clears; keep the words in braces. */
N_ ("Go over the whole zone again with {stage}, while the scratch fades.")
/* TRANSLATORS: rule scratch-before-buffing says; keep the words in braces. */
N_ ("A scratch is left: buffing would only make it shine.")
/* TRANSLATORS: rule scratch-before-buffing clears; keep the words in braces. */
N_ ("Go over the whole zone with {back} again.")
/* TRANSLATORS: rule scratch-after-buffing says; keep the words in braces. */
N_ ("A scratch shows after buffing: more compound will not take it out.")
/* TRANSLATORS: rule scratch-after-buffing clears; keep the words in braces. */
N_ ("Go over the whole zone with {back} again, then buff.")
/* TRANSLATORS: rule witness-line-remnant says; keep the words in braces. */
N_ ("Only {last_coat_film_um} of the last coat is left inside the witness line.")
/* TRANSLATORS: rule witness-line-remnant clears; keep the words in braces. */
N_ ("The film allows it: sand that remnant right off the zone.")
/* TRANSLATORS: rule low-spots says; keep the words in braces. */
N_ ("Low spots cover {low_spot_fraction}; level enough is {low_spot_limit}.")
/* TRANSLATORS: rule low-spots clears; keep the words in braces. */
N_ ("Go over the wider area again, not the spots alone.")
/* TRANSLATORS: rule large-island says; keep the words in braces. */
N_ ("The largest low spot is {largest_island_mm} across; up to {island_limit_mm} may ride along.")
/* TRANSLATORS: rule large-island clears; keep the words in braces. */
N_ ("Go over the wider area again, not the spot alone.")
/* TRANSLATORS: rule low-spots-edge says; keep the words in braces. */
N_ ("Low spots cover {low_spot_fraction} of the edge; up to {low_spot_limit} may stay.")
/* TRANSLATORS: rule low-spots-edge clears; keep the words in braces. */
N_ ("Again, lightly and without a block: edges lose film fastest.")
/* TRANSLATORS: rule low-spots-last-grit says; keep the words in braces. */
N_ ("Low spots cover {low_spot_fraction}; at the last grit {low_spot_limit} may stay.")
/* TRANSLATORS: rule low-spots-last-grit clears; keep the words in braces. */
N_ ("Again with {stage} until they are gone, or fill them, or accept with a reason.")
/* TRANSLATORS: rule carried-low-spots says; keep the words in braces. */
N_ ("Low spots carried from an earlier grit are still open: {carried_low_spots}.")
/* TRANSLATORS: rule carried-low-spots clears; keep the words in braces. */
N_ ("Close each at this grit: levelled, filled, or accepted with a reason.")
/* TRANSLATORS: rule low-spots-after-sanding says; keep the words in braces. */
N_ ("Low spots are left from sanding.")
/* TRANSLATORS: rule low-spots-after-sanding clears; keep the words in braces. */
N_ ("Go over the whole zone with {back} again, fill them, or accept with a reason.")
/* TRANSLATORS: rule burnished says; keep the words in braces. */
N_ ("Shinier than the zones beside it by {gloss_above_others_gu}; {gloss_spread_limit_gu} is the limit.")
/* TRANSLATORS: rule burnished clears; keep the words in braces. */
N_ ("Go over it lightly with {back}, then on as the others.")
/* TRANSLATORS: rule dull-once-more says; keep the words in braces. */
N_ ("Wiped and looked at again, the dull spot is still there.")
/* TRANSLATORS: rule dull-once-more clears; keep the words in braces. */
N_ ("Buff it once more with {stage}.")
/* TRANSLATORS: rule dull-back says; keep the words in braces. */
N_ ("Buffed once more, the dull spot is still there: the scratch under it is too coarse.")
/* TRANSLATORS: rule dull-back clears; keep the words in braces. */
N_ ("Go over the zone with {back} again, then buff.")
/* TRANSLATORS: rule swirl says; keep the words in braces. */
N_ ("Swirl shows in the point light.")
/* TRANSLATORS: rule swirl clears; keep the words in braces. */
N_ ("A finer compound on a clean pad, across the way it went before.")
/* TRANSLATORS: rule not-sanded-here says; keep the words in braces. */
N_ ("Not sanded with {stage} yet.")
/* TRANSLATORS: rule not-sanded-here clears; keep the words in braces. */
N_ ("Go over the whole zone with {stage}.")
/* TRANSLATORS: rule not-buffed-here says; keep the words in braces. */
N_ ("Not buffed with {stage} yet.")
/* TRANSLATORS: rule not-buffed-here clears; keep the words in braces. */
N_ ("Buff the whole zone. The work runs off an edge, never onto it; the lower front of the wheel only.")
/* TRANSLATORS: rule wheel-not-looked-over says; keep the words in braces. */
N_ ("The wheel for {stage} was not looked over before this stage.")
/* TRANSLATORS: rule wheel-not-looked-over clears; keep the words in braces. */
N_ ("Unplugged, look it over: seams, hardened compound, nut and arbor; and record the check.")
/* TRANSLATORS: rule level-enough warns; keep the words in braces. */
N_ ("This zone is level enough: another pass only takes film.")
/* TRANSLATORS: rule level-enough-edge warns; keep the words in braces. */
N_ ("This edge is level enough: another pass only takes film, and edges have least of it.")
/* TRANSLATORS: rule refined says; keep the words in braces. */
N_ ("The scratch of the grit before is gone, and low spots cover {low_spot_fraction}.")
/* TRANSLATORS: rule refined warns; keep the words in braces. */
N_ ("This zone is ready for the next grit: another pass with {stage} only takes film.")
/* TRANSLATORS: rule refined-edge warns; keep the words in braces. */
N_ ("This edge is ready for the next grit: another pass only takes film, and edges have least of it.")
/* TRANSLATORS: rule last-grit-done says; keep the words in braces. */
N_ ("One even scratch of {stage}, and nothing left open.")
/* TRANSLATORS: rule last-grit-done warns; keep the words in braces. */
N_ ("The last grit is done here: another pass only takes film.")
/* TRANSLATORS: rule last-look-done says; keep the words in braces. */
N_ ("Looked at from two sides across each other, and nothing left open.")
/* TRANSLATORS: rule buffed says; keep the words in braces. */
N_ ("Uniform gloss: wiped clear and seen in two kinds of light.")
/* TRANSLATORS: rule buffed warns; keep the words in braces. */
N_ ("This zone is done with {stage}: more of it only takes film and brings heat.")
/* TRANSLATORS: rule rested says; keep the words in braces. */
N_ ("At rest for {days_since_buff}, looked at since, and nothing has sunk.")
/* TRANSLATORS: rule rested warns; keep the words in braces. */
N_ ("This zone is ready for hand-over.")
/* TRANSLATORS: rule rested prepare; keep the words in braces. */
N_ ("Bench and floor wiped: no grain of the grit before")
/* TRANSLATORS: rule rested prepare; keep the words in braces. */
N_ ("Fresh water")
/* TRANSLATORS: rule rested prepare; keep the words in braces. */
N_ ("Block washed, or a clean one")
/* TRANSLATORS: rule rested prepare; keep the words in braces. */
N_ ("Clean cloths, clean hands and sleeves")
/* TRANSLATORS: rule rested prepare; keep the words in braces. */
N_ ("Holes plugged, so that no water gets in")
/* TRANSLATORS: rule rested prepare; keep the words in braces. */
N_ ("Edges taped that should not be reached yet")
/* TRANSLATORS: rule rested prepare; keep the words in braces. */
N_ ("Colour in the clear (a burst, a toner): the reserve raised to its top, or half the passes where that is unknown")
/* TRANSLATORS: rule rested prepare; keep the words in braces. */
N_ ("Wheel unplugged and looked over: seams, hardened compound, nut and arbor")
/* TRANSLATORS: rule rested prepare; keep the words in braces. */
N_ ("Wiped clear with spirit, or with what this finish bears, before the finer compound")
/* TRANSLATORS: rule rested prepare; keep the words in braces. */
N_ ("A narrow wheel at hand for what is hard to reach")
