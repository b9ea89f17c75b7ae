"""The shot list: which pictures the plan needs, one at least for each addition."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from scriptkit.english import heat
from scriptkit.english.leading_words import Parted
from scriptkit.recipe.dish import Addition, Dish, Step
from scriptkit.recipe.film_settings import film_of
from scriptkit.recipe.on_plates import on_plates
from scriptkit.recipe.written_shots import WrittenShot
from scriptkit.shoot.day.swap_outs import swap_outs_of
from scriptkit.shoot.plan import (
    CLOSING,
    LONGEST_ADDITION_MS,
    MEAL_CLOSING,
    OPENING,
    SHORTEST_ADDITION_MS,
    Plan,
    Segment,
    acts_shown,
    addition_windows,
    ends_with_addition,
    lead_ms,
    ready_ms,
    shot_windows,
    shown_in,
    written_shots,
)
from scriptkit.shoot.shots.framing import (
    DONENESS_LOOKS,
    FIRST_BITE,
    LOOK_OF_KIND,
    LOOKS,
    SIZES,
    SOUNDS,
    TO_CAMERA,
    DonenessShot,
    Framing,
    action_look,
    addition_look,
    doneness_shot,
)
from scriptkit.shoot.shots.going_in_words import goes_in, goes_onto
from scriptkit.shoot.shots.leading_act import leading_act
from scriptkit.shoot.shots.slates import setup_letter
from scriptkit.shoot.shots.waits import has_wait, in_the_pan, tells_done

__all__ = ["SIZES", "SOUNDS", "Framing", "Shot", "shots_of"]


TABLE, PRESENTER, BOARD, OVEN, HOB, BENCH = "table", "presenter", "board", "oven", "hob", "bench"
"""Where a shot is, where no vessel says it."""
_OF_NO_DISH = frozenset({PRESENTER, BOARD})
"""Places that stay as they are from one dish to the next."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Shot:
    """One row of the shot list. Times are milliseconds of the planned cut. ``slate`` is scene and letter, no two alike;
    shots of the same ``camera_setup`` need no camera move between them."""

    number: int
    slate: str
    look: Framing
    what: str
    sound: str
    start_ms: int
    end_ms: int
    dish: Dish | None
    step: Step | None
    additions: tuple[Addition, ...]
    irreversible: bool
    stage: str
    scene: int = 0
    letter: str = ""
    place: str = ""
    """The vessel it is about, or where else the camera points."""
    camera_setup: int = 0
    """One dish's shots of the same size, angle and place are one setup, and so are all dishes' at the board and of the
    presenter; counted from 1 in the order of the list."""
    repeatable: bool = False
    """Whether it can be filmed at any other time too, so that it may be batched with its setup."""
    swap_out: str = ""
    """What stands in for the live dish: a twin made ahead, or a hero; empty: nothing does."""
    act: bool = False
    """Whether it shows what is done at the step, and neither an addition nor that it is done."""
    onto: str = ""
    """The food that its additions go on: ``the chicken``; empty where they go into the vessel."""
    when_over: bool = False
    """Whether it is filmed when the wait of its step is over, and not when the step begins."""

    @property
    def planned_ms(self) -> int:
        """On screen in the planned cut."""
        return self.end_ms - self.start_ms


def shots_of(plan: Plan) -> tuple[Shot, ...]:
    """Shots in the plan's order: prep steps first, then cook steps."""
    source = plan.meal or plan.dishes[0]
    twins = {(t.dish.file, t.step.number) for t in swap_outs_of(source)}
    setups: dict[tuple[str, str, str, str], int] = {}
    shots: list[Shot] = []
    for segment in plan.segments:
        pictures = list(_pictures(segment, plan))
        twin_at = _twin_shot(segment, pictures, twins)
        for n, picture in enumerate(pictures):
            step, look = segment.step, picture.look
            dish = segment.dish or (None if plan.meal else plan.dishes[0])
            whose = "" if dish is None or picture.place in _OF_NO_DISH else dish.file
            where = (whose, look.size, look.angle.casefold(), picture.place.casefold())
            letter = setup_letter(n + 1)
            shots.append(
                Shot(
                    number=len(shots) + 1,
                    slate=f"{segment.scene}{letter}",
                    look=look,
                    what=picture.what,
                    sound=SOUNDS[picture.sound or (step.sound if step else "voice-over")],
                    start_ms=picture.start_ms,
                    end_ms=picture.end_ms,
                    dish=segment.dish,
                    step=step,
                    additions=picture.additions,
                    irreversible=picture.irreversible,
                    stage=step.stage if step else segment.kind,
                    scene=segment.scene,
                    letter=letter,
                    place=picture.place,
                    camera_setup=setups.setdefault(where, len(setups) + 1),
                    repeatable=picture.repeatable,
                    swap_out=picture.swap_out or ("twin" if n == twin_at else ""),
                    act=picture.act,
                    onto=goes_onto(picture.additions, step, dish) if step and dish else "",
                    when_over=picture.when_over and n != twin_at,  # a twin need not be waited for
                )
            )
    return tuple(shots)


@dataclass(frozen=True, slots=True, kw_only=True)
class _Picture:
    look: Framing
    what: str
    start_ms: int
    end_ms: int
    place: str
    additions: tuple[Addition, ...] = ()
    irreversible: bool = False
    repeatable: bool = False
    sound: str = ""
    swap_out: str = ""
    act: bool = False
    when_over: bool = False


def _pictures(segment: Segment, plan: Plan) -> Iterator[_Picture]:
    start, end = segment.start_ms, segment.end_ms
    source = plan.meal or plan.dishes[0]
    heroes = (film_of(source, segment.dish) if segment.dish else source.film).heroes
    if segment.kind == OPENING:
        yield _beauty(f"{plan.title}, finished: the promise", start, end, heroes)
    elif segment.kind in (CLOSING, MEAL_CLOSING):
        name = segment.dish.name if segment.dish else plan.title
        added = on_plates(source) if segment.kind == MEAL_CLOSING else ()
        part = segment.length_ms // (2 + len(added))
        yield _beauty(f"{name} on the plate, for the card with its figures", start, start + part, heroes)
        for n, one in enumerate(added, 1):
            words = f"{one.each.short_name}, {one.how}: {one.each_words or 'to taste'}"
            at = start + n * part
            yield _Picture(
                look=LOOKS["hands"], what=words[:1].upper() + words[1:], start_ms=at, end_ms=at + part, place=TABLE
            )
        what, middle = f"{name}: first bite", start + (1 + len(added)) * part
        yield _Picture(look=LOOKS[FIRST_BITE], what=what, start_ms=middle, end_ms=end, place=TABLE)
    elif segment.step is not None and segment.dish is not None:
        under_hood = segment.step.reading.takes_a_burner and film_of(source, segment.dish).hood
        if written_shots(segment.step):
            yield from _as_written(segment, segment.dish, segment.step, under_hood)
        else:
            yield from _by_default(segment, segment.dish, segment.step, under_hood)


def _beauty(what: str, start: int, end: int, heroes: int) -> _Picture:
    """The finished dish; where there is a hero, at any time."""
    hero = "hero" if heroes else ""
    return _Picture(
        look=LOOKS["beauty"],
        what=what,
        start_ms=start,
        end_ms=end,
        place=TABLE,
        repeatable=bool(heroes),
        swap_out=hero,
    )


# --- the usual coverage ----------------------------------------------------------------------------------------------


def _by_default(segment: Segment, dish: Dish, step: Step, under_hood: bool) -> Iterator[_Picture]:
    """Getting ready before very hot fat, what is done before anything goes in, each addition, what is done, and how the cook sees that
    it is done."""
    now, end, place = segment.start_ms, segment.end_ms, _place(step)
    if ready := ready_ms(segment):
        where = f"the {step.reading.written_vessel} heats" if step.reading.written_vessel else "the pan heats"
        what = f"Before it goes in: the food is dry, {where}, a lid lies ready"
        yield _Picture(look=LOOKS["hands"], what=what, start_ms=now, end_ms=now + ready, place=place)
    windows, acts, action, done = addition_windows(segment), acts_shown(segment), action_look(step), doneness_shot(step)
    lead = leading_act(step)
    over = bool(lead and lead.waited)
    if lead and lead_ms(segment):
        whole = windows[-1][2] == end and not ends_with_addition(segment)
        usual = LOOKS["knife" if step.stage == "prep" else "hands"]
        yield from _act(step, lead, usual, now + ready, windows[0][1], done, step.do if whole else lead.first)
    for n, (addition, first, last) in enumerate(windows):
        look = addition_look(addition, under_hood=under_hood)
        what = goes_in((addition,), step, dish)
        yield _Picture(
            look=look, what=what, start_ms=first, end_ms=last, place=place, additions=(addition,), irreversible=True,
            when_over=over,
        )  # fmt: skip
        now = last
        if act := acts.get(n):
            now, lead = windows[n + 1][1], act  # the rest of the words comes after it
            over = over or act.waited
            yield from _act(step, act, action, last, now, done, act.first)
    if now >= end:
        return
    if done and any(done.words in act.first for act in (*acts.values(), *([lead] if lead else []))):
        done = None  # it is seen before the next addition goes in
    tested = min(LONGEST_ADDITION_MS, (end - now) // 2) if done else 0
    shows_done = bool(done and lead and lead.adds and (over or not has_wait(step)))
    if done and (shows_done or tested < SHORTEST_ADDITION_MS):  # one picture, which shows that it is done
        action, tested = done.look, 0
        shows_done = shows_done or (has_wait(step) and now > segment.start_ms and in_the_pan(step, dish))
    yield _Picture(
        look=action,
        what=f"Show that it is done: {done.words}" if done and shows_done else lead.rest if lead else step.do,
        start_ms=now,
        end_ms=end - tested,
        place=PRESENTER if action.kind == TO_CAMERA else place,
        irreversible=step.irreversible,
        repeatable=_any_time(step, dish, action.kind),
        act=not shows_done,
        when_over=over or (shows_done and has_wait(step)),
    )
    if done and tested:
        what = f"Show that it is done: {done.words}"
        yield _Picture(
            look=done.look, what=what, start_ms=end - tested, end_ms=end, place=place, when_over=has_wait(step)
        )


def _act(
    step: Step, act: Parted, look: Framing, start: int, end: int, done: DonenessShot | None, what: str
) -> Iterator[_Picture]:
    """What is done before something goes in; where that waits for it until it is done, what shows that too."""
    place = PRESENTER if look.kind == TO_CAMERA else _place(step)
    seen = bool(done and act.waited and done.words in act.first and end - start >= 2 * SHORTEST_ADDITION_MS)
    now = (start + end) // 2 if seen else end
    yield _Picture(
        look=look,
        what=what,
        start_ms=start,
        end_ms=now,
        place=place,
        irreversible=step.irreversible or act.once,
        act=True,
    )
    if done and seen:
        what = f"Show that it is done: {done.words}"
        yield _Picture(look=done.look, what=what, start_ms=now, end_ms=end, place=_place(step), when_over=True)


def _any_time(step: Step, dish: Dish, kind: str) -> bool:
    """Pieces to camera, and raw ingredients and knife work, of which there can be more; not what was salted, soaked or
    otherwise made into something before."""
    if step.irreversible:
        return False
    if kind == TO_CAMERA:
        return not (
            step.additions or step.reading.written_vessel or step.reading.heat.on or step.wait_ms
        )  # nothing is cooked while it is said
    used = {i.key for i in step.uses}
    made = (s for s in dish.steps if s.stage == "prep" and s.number < step.number and s.additions)
    touched = any(used & ({i.key for i in s.uses} | {a.ingredient.key for a in s.additions}) for s in made)
    return step.stage == "prep" and not step.additions and not step.after and not step.reading.heat.on and not touched


def _place(step: Step) -> str:
    if step.reading.in_the_oven:
        return OVEN
    if step.reading.written_vessel:
        return step.reading.written_vessel
    return BOARD if step.stage == "prep" else HOB if step.reading.heat.source == heat.HOB else BENCH


def _twin_shot(segment: Segment, pictures: list[_Picture], twins: set[tuple[str, int]]) -> int | None:
    """The picture that a twin is there for: the last of the step that it is made ahead to."""
    if segment.dish is None or segment.step is None or (segment.dish.file, segment.step.number) not in twins:
        return None
    return len(pictures) - 1


# --- as the file writes them -----------------------------------------------------------------------------------------


def _as_written(segment: Segment, dish: Dish, step: Step, under_hood: bool) -> Iterator[_Picture]:
    windows = shot_windows(segment)
    last_in = max((n for n, (shot, _, _) in enumerate(windows) if shown_in(shot, step)), default=0)
    for n, (shot, start, end) in enumerate(windows):
        shown = shown_in(shot, step)
        look = _written_look(shot, step, shown, under_hood)
        to_camera = look.kind == TO_CAMERA and not shown
        usual = step.irreversible and not to_camera
        irreversible = bool(shown) or (usual if shot.irreversible is None else shot.irreversible)
        yield _Picture(
            look=look,
            what=shot.picture or (goes_in(shown, step, dish) if shown else step.do),
            start_ms=start,
            end_ms=end,
            place=PRESENTER if to_camera else _place(step),
            additions=shown,
            irreversible=irreversible,
            repeatable=not irreversible and (to_camera or _any_time(step, dish, look.kind)),
            sound=shot.sound,
            act=not shown and not shot.picture and look not in DONENESS_LOOKS,
            when_over=n > last_in and has_wait(step) and tells_done(shot, step),
        )


def _written_look(shot: WrittenShot, step: Step, shown: tuple[Addition, ...], under_hood: bool) -> Framing:
    """What the file says of the framing; the rest as is usual for its kind. An overhead hangs overhead."""
    usual = addition_look(shown[0], under_hood=under_hood) if shown else action_look(step)
    usual = LOOK_OF_KIND.get(shot.kind.casefold(), usual)
    size = shot.size or usual.size
    angle = shot.angle or usual.angle
    if shot.size and not shot.angle:
        angle = "overhead" if size == "OH" else "three-quarter" if usual.size == "OH" else angle
    return Framing(shot.kind or usual.kind, size, angle, shot.move or usual.move)
