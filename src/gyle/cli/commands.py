"""The commands: read what was asked for, call, print. What each does is done elsewhere."""

from __future__ import annotations

import sys
from collections.abc import Iterator
from typing import TYPE_CHECKING, Annotated

import typer

from gyle import __version__
from gyle.cli.keeping import add_commands

if TYPE_CHECKING:
    from gyle.beer.brewhouse import Brewhouse
    from gyle.beer.water import Water
    from gyle.decide.adapt import Adaptation

__all__ = ["app"]

app = typer.Typer(
    name="gyle",
    rich_markup_mode=None,  # help needs no tables, and is there at once without them
    pretty_exceptions_enable=False,
    context_settings={"help_option_names": ["-h", "--help"]},
)


def _version(wanted: bool) -> None:
    if wanted:
        sys.stdout.write(f"gyle {__version__}\n")
        raise typer.Exit


@app.callback(invoke_without_command=True)
def _gyle(
    context: typer.Context,
    version: Annotated[
        bool, typer.Option("--version", callback=_version, is_eager=True, help="Print the version and stop.")
    ] = False,
) -> None:
    """Plan a brew from water to glass, on your own brewhouse, with an honest band on every figure."""
    if context.invoked_subcommand is None and not version:
        sys.stdout.write(context.get_help() + "\n")


def _a_system(value: str) -> str:
    if value not in ("metric", "us"):
        raise typer.BadParameter("write metric or us")
    from gyle.quantities import speak

    speak(value)
    return value


def _figure_names(incomplete: str) -> Iterator[str]:
    from gyle.line.figures import FIGURES

    return (name for name in FIGURES if name.startswith(incomplete))


def _systems(incomplete: str) -> list[str]:
    return [name for name in ("metric", "us") if name.startswith(incomplete)]


Json = Annotated[bool, typer.Option("--json", help="Print one JSON document instead of a page.")]
Units = Annotated[
    str,
    typer.Option(
        "--units", metavar="metric|us", callback=_a_system, autocompletion=_systems, help="Units of what is printed."
    ),
]
RecipeFile = Annotated[str, typer.Argument(metavar="RECIPE", help="The recipe, a text file.", show_default=False)]
WaterFile = Annotated[str | None, typer.Option("--water", metavar="FILE", help="The water's report, a text file.")]


@app.command()
def plan(
    recipe: RecipeFile,
    *,
    brewhouse: Annotated[
        str | None, typer.Option("--brewhouse", metavar="FILE", help="Where it is brewed; else the recipe's own.")
    ] = None,
    water: WaterFile = None,
    sources: Annotated[
        str | None,
        typer.Option(
            "--sources",
            metavar="FIGURE",
            autocompletion=_figure_names,
            help="Explain one figure: its equations, their references, what moves it most.",
        ),
    ] = None,
    json: Json = False,
    units: Units = "metric",
) -> int:
    """Brew a recipe as written: figures, the day, cautions."""
    from gyle.beer.reading import read_brewhouse, read_recipe
    from gyle.cli.reading import all_of
    from gyle.cli.water_reading import a_water
    from gyle.decide.origin import origin_of, with_habit
    from gyle.decide.plan import plan as planned

    beer, house, report = all_of(
        lambda: read_recipe(recipe),
        lambda: read_brewhouse(brewhouse) if brewhouse is not None else None,
        lambda: a_water(water) if water is not None else None,
    )
    supposed: tuple[str, ...] = ()
    if house is None:
        house, supposed = origin_of(beer)
    found = planned(beer, with_habit(_watered(house, report)))
    said = supposed
    explained = None
    if sources is not None:
        from gyle.decide.sources import sources as sources_of

        explained = sources_of(found.brew, sources)
    if json:
        from gyle.cli.documents import print_document
        from gyle.share.documents import plan_document, sources_document

        document = plan_document(found, system=units, notes=said)
        if explained is not None:
            document["sources"] = sources_document(explained)
        print_document(document, sys.stdout)
        return 0
    from gyle.cli.paper import page_width

    if explained is not None:
        from gyle.cli.sources_page import sources_page

        sources_page(found, explained, width=page_width(), system=units).show(sys.stdout)
        return 0
    from gyle.cli.plan_page import plan_page

    plan_page(found, width=page_width(), system=units, said=said).show(sys.stdout)
    return 0


def _watered(house: Brewhouse, report: Water | None) -> Brewhouse:
    """The brewhouse with this water, ready to be used."""
    if report is None:
        return house
    import attrs

    from gyle.decide.water_work import ready

    return attrs.evolve(house, water=ready(report))


@app.command()
def adapt(
    recipe: RecipeFile,
    *,
    to: Annotated[
        str, typer.Option("--to", metavar="BREWHOUSE", help="The brewhouse to brew it on.", show_default=False)
    ],
    volume: Annotated[
        str | None, typer.Option("--volume", metavar="QUANTITY", help='Another volume, such as "19 L" or "5 gal".')
    ] = None,
    into: Annotated[
        str | None,
        typer.Option("--into", metavar="fermenter|keg", help="Where that volume is counted.", show_default=False),
    ] = None,
    lots: Annotated[
        str | None, typer.Option("--lots", metavar="STOCK", help="What lies in the store: lots, packs, prices.")
    ] = None,
    instead: Annotated[
        str | None, typer.Option("--instead", metavar="SWAP", help='Such as "sucrose for dextrose".')
    ] = None,
    choose: Annotated[
        str | None, typer.Option("--choose", metavar="OPTION", help="The way out to take, by its name.")
    ] = None,
    water: WaterFile = None,
    out: Annotated[
        str | None, typer.Option("--out", metavar="FILE", help="Write the restated recipe to this file.")
    ] = None,
    json: Json = False,
    units: Units = "metric",
) -> int:
    """Restate a recipe for another brewhouse."""
    from gyle.beer.reading import read_brewhouse, read_recipe, read_stock
    from gyle.beer.writing import recipe_text, write_text
    from gyle.cli.reading import a_place, a_volume_L, all_of
    from gyle.cli.saving import savable
    from gyle.cli.waiting import waiting
    from gyle.cli.water_reading import a_water
    from gyle.decide.adapt import adapt as adapted

    beer, house, stock, report, litres, counted, target = all_of(
        lambda: read_recipe(recipe),
        lambda: read_brewhouse(to),
        lambda: read_stock(lots) if lots is not None else None,
        lambda: a_water(water) if water is not None else None,
        lambda: a_volume_L(volume, option="--volume") if volume is not None else None,
        lambda: a_place(into) if into is not None else None,
        lambda: savable(out, read=(recipe, to, lots, water)) if out is not None else None,
    )
    with waiting(f"Brewing {beer.name} on {house.name}") as progress:
        found = adapted(
            beer,
            _watered(house, report),
            volume_L=litres,
            into=counted,
            stock=stock,
            instead=instead,
            choose=choose,
            progress=progress,
        )
    _must_fit(found)
    text = recipe_text(found.recipe, units)
    if target is not None:
        write_text(target, text)
    if json:
        from gyle.cli.documents import print_document
        from gyle.share.documents import adaptation_document

        print_document(adaptation_document(found, text, system=units), sys.stdout)
        return 0
    from gyle.cli.adapt_page import adapt_page
    from gyle.cli.paper import page_width

    adapt_page(found, width=page_width(), system=units, out=out).show(sys.stdout)
    return 0


def _must_fit(found: Adaptation) -> None:
    """Refuse a proposal that does not fit and has no way out; nothing is written then."""
    from gyle.errors import Infeasible

    if not found.plan.fits and not any(option.fits for option in found.options):
        raise Infeasible(f"no way out was found: {'; '.join(found.plan.short_of)}")


@app.command()
def water(
    *,
    source: Annotated[
        str,
        typer.Option("--from", metavar="FILE", help='The water: its report, or "reverse osmosis".', show_default=False),
    ],
    to: Annotated[
        str | None,
        typer.Option("--to", metavar="FILE", help="The wanted water: a report's figures, or a recipe's [water]."),
    ] = None,
    recipe: Annotated[
        str | None, typer.Option("--recipe", metavar="FILE", help="The beer: its volumes, grist and wanted water.")
    ] = None,
    brewhouse: Annotated[
        str | None, typer.Option("--brewhouse", metavar="FILE", help="Where it is brewed; else the recipe's own.")
    ] = None,
    lots: Annotated[
        str | None, typer.Option("--lots", metavar="STOCK", help="Salts and acids at hand; else the usual ones.")
    ] = None,
    without: Annotated[
        str | None, typer.Option("--without", metavar="NAMES", help='Salts not to use, such as "gypsum, table salt".')
    ] = None,
    acid: Annotated[
        str | None, typer.Option("--acid", metavar="NAME", help='The acid to use, such as "phosphoric acid 10 %".')
    ] = None,
    scale: Annotated[
        str | None, typer.Option("--scale", metavar="QUANTITY", help='What the scale tells apart, such as "0.1 g".')
    ] = None,
    at_most: Annotated[int, typer.Option("--at-most", metavar="N", help="Kinds of salt at most.", min=0, max=12)] = 4,
    mash_ph: Annotated[
        str | None, typer.Option("--mash-ph", metavar="PH", help="The mash pH wanted, of a cooled sample.")
    ] = None,
    volume: Annotated[
        str | None, typer.Option("--volume", metavar="QUANTITY", help="Water to treat where no recipe is given.")
    ] = None,
    undiluted: Annotated[bool, typer.Option("--undiluted", help="Take no reverse osmosis water to help.")] = False,
    json: Json = False,
    units: Units = "metric",
) -> int:
    """Treat a water: salts and acid in doses one can weigh."""
    from gyle.beer.reading import read_brewhouse, read_recipe, read_stock
    from gyle.cli.reading import a_ph, a_volume_L, all_of
    from gyle.cli.water_reading import a_shelf, a_step_g, a_water, from_file, go_together, wanted_of
    from gyle.decide.origin import origin_of, with_habit
    from gyle.decide.water_work import water_work

    report, wanted, beer, house, stock, step_g, litres, ph, _ = all_of(
        lambda: from_file(source, a_water),
        lambda: from_file(to, wanted_of) if to is not None else None,
        lambda: from_file(recipe, read_recipe) if recipe is not None else None,
        lambda: from_file(brewhouse, read_brewhouse) if brewhouse is not None else None,
        lambda: from_file(lots, read_stock) if lots is not None else None,
        lambda: a_step_g(scale) if scale is not None else None,
        lambda: a_volume_L(volume, option="--volume") if volume is not None else None,
        lambda: a_ph(mash_ph, option="--mash-ph") if mash_ph is not None else None,
        lambda: go_together(recipe=recipe, mash_ph=mash_ph, volume=volume),
    )
    if beer is not None and wanted is not None:
        wanted = wanted.without("bicarbonate")  # the mash's pH decides
    shelf = a_shelf(stock, without=without, acid=acid, step_g=step_g, at_most=at_most)
    if beer is not None and house is None:
        house, _ = origin_of(beer)
    work = water_work(
        report,
        beer,
        None if house is None else with_habit(house),
        wanted_mg_L=wanted,
        ph=ph,
        shelf=shelf,
        volume_L=litres,
        dilute=not undiluted,
    )
    if json:
        from gyle.cli.documents import print_document
        from gyle.cli.water_document import water_document

        print_document(water_document(work), sys.stdout)
        return 0
    from gyle.cli.paper import page_width
    from gyle.cli.water_page import water_page

    water_page(work, width=page_width(), system=units).show(sys.stdout)
    return 0


@app.command()
def ledger(
    table: Annotated[
        str | None, typer.Option("--table", metavar="CSV", help="Another table of check values than the program's own.")
    ] = None,
    every_row: Annotated[bool, typer.Option("--all", help="List every row, not only those that are outside.")] = False,
    json: Json = False,
) -> int:
    """Hold every equation against published values."""
    from gyle.cli.paper import page_width
    from gyle.cli.waiting import waiting
    from gyle.ledger import checked, own_tables, tally

    with waiting("Working the check values through"):
        tables = [checked(path) for path in ((table,) if table is not None else own_tables())]
    counts = tally(tables)
    if json:
        from gyle.cli.documents import ledger_document, print_document

        print_document(ledger_document(tables, counts), sys.stdout)
    else:
        from gyle.cli.ledger_page import ledger_page

        ledger_page(tables, counts, width=page_width(), every_row=every_row).show(sys.stdout)
    return 0 if counts.agrees else 1


Port = Annotated[int | None, typer.Option("--port", metavar="N", help="Where to listen; 0 takes any that is free.")]


@app.command()
def serve(
    host: Annotated[str, typer.Option("--host", metavar="HOST", help="Which of this machine's names to answer to.")] = (
        "127.0.0.1"
    ),
    port: Port = None,
) -> int:
    """Serve the pages on this machine, until Ctrl+C."""
    from gyle.cli.serving import serve as served

    served(host=host, port=port, out=sys.stdout)
    return 0


@app.command()
def demo(
    no_browser: Annotated[bool, typer.Option("--no-browser", help="Print the address and open nothing.")] = False,
    port: Port = None,
) -> int:
    """Serve Lantern Street, an invented brewery's beers, until Ctrl+C."""
    from gyle.cli.serving import serve_demo

    serve_demo(port=port, browser=not no_browser, out=sys.stdout)
    return 0


add_commands(app)
