"""Where a module can be changed by one small step, and the module with that one step taken.

Order of comparison and its edge, plus and minus, times and divided by, numbers by one, and / or, not, a minus sign,
least and greatest, any and all, ceiling and floor, a bare condition, `return` of a value, a call made for its effect,
`break` and `continue`. Left out: text, annotations, decorators, what an error says (`raise`), and `strict=` of a zip.
"""

from __future__ import annotations

import ast
import copy
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

_Ops = dict[type[ast.cmpop], type[ast.cmpop]]

_EDGE: _Ops = {ast.Lt: ast.LtE, ast.LtE: ast.Lt, ast.Gt: ast.GtE, ast.GtE: ast.Gt}
_OPPOSITE: _Ops = {
    ast.Lt: ast.GtE, ast.LtE: ast.Gt, ast.Gt: ast.LtE, ast.GtE: ast.Lt, ast.Eq: ast.NotEq, ast.NotEq: ast.Eq,
    ast.Is: ast.IsNot, ast.IsNot: ast.Is, ast.In: ast.NotIn, ast.NotIn: ast.In,
}  # fmt: skip
_OTHER_SIGN: dict[type[ast.operator], type[ast.operator]] = {
    ast.Add: ast.Sub, ast.Sub: ast.Add, ast.Mult: ast.Div, ast.Div: ast.Mult, ast.FloorDiv: ast.Mult,
    ast.Mod: ast.Mult, ast.Pow: ast.Mult, ast.BitAnd: ast.BitOr, ast.BitOr: ast.BitAnd,
}  # fmt: skip
_OTHER_NAME = {
    "min": "max", "max": "min", "minimum": "maximum", "maximum": "minimum", "any": "all", "all": "any",
    "ceil": "floor", "floor": "ceil", "nanmin": "nanmax", "nanmax": "nanmin", "fmin": "fmax", "fmax": "fmin",
}  # fmt: skip


@dataclass(frozen=True)
class Site:
    """One small step: the module, the node's place in a walk of its tree, which of that node's steps, and its words."""

    path: str
    node: int
    step: int
    first: int
    last: int
    statement: int
    function: str
    line: int
    words: str

    @property
    def key(self) -> str:
        """Stable within one version of the module."""
        return f"{self.path}:{self.first}:{self.node}.{self.step}"


def _steps(node: ast.AST) -> list[tuple[str, ast.AST]]:
    """The steps of one node: words, and what stands there instead."""
    match node:
        case ast.Compare():
            return [*_compared(node, _EDGE), *_compared(node, _OPPOSITE)]
        case ast.BinOp(op=op) if type(op) in _OTHER_SIGN:
            return [_with(node, op=_OTHER_SIGN[type(op)]())]
        case ast.AugAssign(op=op) if type(op) in _OTHER_SIGN:
            return [_with(node, op=_OTHER_SIGN[type(op)]())]
        case ast.BoolOp(op=ast.And()):
            return [_with(node, op=ast.Or())]
        case ast.BoolOp(op=ast.Or()):
            return [_with(node, op=ast.And())]
        case ast.UnaryOp(op=ast.Not() | ast.USub() | ast.Invert()):
            return [("sign or not dropped", node.operand)]
        case ast.Constant(value=bool(value)):
            return [_with(node, value=not value)]
        case ast.Constant(value=int(value) | float(value)):
            return [_with(node, value=value + 1)]
        case ast.Name(id=name) if name in _OTHER_NAME and isinstance(node.ctx, ast.Load):
            return [_with(node, id=_OTHER_NAME[name])]
        case ast.Attribute(attr=name) if name in _OTHER_NAME and isinstance(node.ctx, ast.Load):
            return [_with(node, attr=_OTHER_NAME[name])]
        case ast.Return(value=value) if value is not None and not _is_none(value):
            return [_with(node, value=ast.Constant(None))]
        case ast.If(test=test) | ast.IfExp(test=test) | ast.While(test=test) if _bare(test):
            return [_with(node, test=ast.UnaryOp(ast.Not(), test))]
        case ast.Expr(value=ast.Call()):
            return [("call dropped", ast.Pass())]
        case ast.Break():
            return [("continue", ast.Continue())]
        case ast.Continue():
            return [("break", ast.Break())]
    return []


def _compared(node: ast.Compare, other: _Ops) -> Iterator[tuple[str, ast.AST]]:
    for i, op in enumerate(node.ops):
        if type(op) in other:
            yield _with(node, ops=[*node.ops[:i], other[type(op)](), *node.ops[i + 1 :]])


def _with(node: ast.AST, **changed: object) -> tuple[str, ast.AST]:
    new = copy.copy(node)
    for name, value in changed.items():
        setattr(new, name, value)
    if isinstance(node, ast.If | ast.While):
        return f"not ({ast.unparse(node.test)})", new
    return ast.unparse(ast.fix_missing_locations(new)), new


def _bare(test: ast.expr) -> bool:
    return not isinstance(test, ast.Compare | ast.BoolOp | ast.UnaryOp)


def _is_none(node: ast.expr) -> bool:
    return isinstance(node, ast.Constant) and node.value is None


class _Walk:
    """Every node that may change, in one fixed order, with where it stands."""

    def __init__(self, tree: ast.Module) -> None:
        self.nodes: list[tuple[ast.AST, ast.AST, str, int | None, int, str, int]] = []
        self._visit(tree, 0, "", 0)

    def _visit(self, node: ast.AST, statement: int, function: str, line: int) -> None:
        for name, value in ast.iter_fields(node):
            if name in {"annotation", "returns", "decorator_list"}:
                continue
            for i, child in enumerate(value) if isinstance(value, list) else [(None, value)]:
                if not isinstance(child, ast.AST) or isinstance(child, ast.Raise | ast.JoinedStr):
                    continue
                if isinstance(child, ast.keyword) and child.arg == "strict":
                    continue
                inner, place, top = statement, function, line
                if isinstance(child, ast.stmt):
                    inner = child.lineno
                if isinstance(child, ast.FunctionDef) and not top:
                    place, top = f"{function}.{child.name}".lstrip("."), child.lineno
                elif isinstance(child, ast.ClassDef) and not top:
                    place = f"{function}.{child.name}".lstrip(".")
                self.nodes.append((child, node, name, i, inner, place if top else "", top))
                arguments = isinstance(node, ast.FunctionDef) and name == "args"
                self._visit(child, inner, place, 0 if arguments else top)


def sites(path: str, source: str) -> list[Site]:
    """All small steps of a module. `function` is "" for what runs when the module is imported."""
    found = []
    for n, (node, _, _, _, statement, function, line) in enumerate(_Walk(ast.parse(source)).nodes):
        if not hasattr(node, "lineno"):
            continue
        last = node.lineno if isinstance(node, ast.If | ast.While) else getattr(node, "end_lineno", node.lineno)
        for step, (words, _) in enumerate(_steps(node)):
            old = ast.unparse(node.test if isinstance(node, ast.If | ast.While) else node).split("\n")[0]
            found.append(Site(path, n, step, node.lineno, last, statement, function, line, f"{old}  →  {words}"))
    return found


def changed(site: Site, source: str) -> ast.Module:
    """The module with that one step taken."""
    tree = ast.parse(source)
    node, parent, name, i, *_ = _Walk(tree).nodes[site.node]
    new = _steps(node)[site.step][1]
    ast.copy_location(new, node)
    if i is None:
        setattr(parent, name, new)
    else:
        getattr(parent, name)[i] = new
    return ast.fix_missing_locations(tree)


def all_sites(root: Path, rooms: list[str]) -> list[Site]:
    """Those of some rooms or modules under a checkout."""
    found = []
    for room in rooms:
        place = root / room
        for path in sorted(place.rglob("*.py")) if place.is_dir() else [place]:
            found += sites(path.relative_to(root).as_posix(), path.read_text(encoding="utf-8"))
    return found
