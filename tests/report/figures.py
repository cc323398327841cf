"""What status --json says of a job's film and of how it stands, put as the English report puts it, line by
line: to be held against the lines of the report, none more and none less."""

import re

FOOT = re.compile(r" · Finish record, .* \d+ of \d+$")


def lines_between(text, first, last):
    """The lines of a section of pdftotext -raw; the heads of tables that go on over a page are left out."""
    lines = [re.sub(r"[\s\u00a0]+", " ", line).strip() for line in text.replace("\f", "\n").splitlines()]
    begin = next(at for at, line in enumerate(lines) if re.fullmatch(r"(\d+ )?" + first, line))
    end = next(at for at, line in enumerate(lines) if at > begin and re.fullmatch(r"(\d+ )?" + last, line))
    return [line for line in lines[begin + 1:end] if not FOOT.search(line)]


def film(mean, sd, sign=""):
    number = f"{mean:{sign}.1f}".replace("-", "−")
    return f"{number} ± {sd:.1f} µm" if sd else f"{number} µm"


def risk(share):
    if share is None:
        return "–"
    if 0 < share < 0.001:
        return "under 0.1 %"
    return f"{100 * share:.{1 if share < 0.1 else 0}f} %"


def zone_lines(status):
    """A line for each zone whose film is known."""
    zones = [zone for face in status["faces"] for zone in face["zones"] if zone["film"]]
    has_line = any(zone["film"].get("last_coat_um") is not None for zone in zones)
    has_next = any(zone["film"].get("risk_after_next_pass") is not None for zone in zones)
    for zone in zones:
        told = zone["film"]
        reserve = told.get("reserve_um")
        yield " ".join([zone["name"], film(told["film_um"], told["film_sd_um"])]
                       + ([film(told["last_coat_um"], told["last_coat_sd_um"])] if has_line else [])
                       + ["–" if reserve is None else f"{reserve:.0f} µm", risk(told["risk_now"])]
                       + ([risk(told.get("risk_after_next_pass"))] if has_next else [])
                       + [risk(told["risk_at_end"])])


def runs(ledger):
    """Coats of which the same is said stand in one line when they came one after the other."""
    together = []
    for line in ledger:
        if together and line["kind"] == "coat" and together[-1][-1]["sentence"] == line["sentence"]:
            together[-1].append(line)
        else:
            together.append([line])
    return together


def ledger_lines(status):
    """A line for each of the ledger, without its day."""
    for face in status["faces"]:
        for zone in face["zones"]:
            for run in runs((zone["film"] or {}).get("ledger", [])):
                last, count = run[-1], len(run)
                change_sd = last["change_sd_um"] if count == 1 else None
                yield " ".join([f"{count} × {last['sentence']}" if count > 1 else last["sentence"],
                                film(sum(line["change_um"] for line in run), change_sd, "+"),
                                film(last["film_um"], last["film_sd_um"])]
                               + ([film(last["last_coat_um"], last["last_coat_sd_um"])]
                                  if last.get("last_coat_um") is not None else []))
