"""What can be done with the reel under the cursor, the same wherever reels are listed."""

from __future__ import annotations

from typing import TYPE_CHECKING, cast

from tui.work import WorkingScreen

if TYPE_CHECKING:
    from tui.app import ReelwardApp


class ReelActs(WorkingScreen[None]):
    """The acts of a reel's page, for a screen with a cursor on a reel."""

    def reel_here(self) -> str | None:
        """The number of the reel under the cursor, if there is one."""
        raise NotImplementedError

    def _on_page(self, action: str) -> None:
        """Open the reel's page and do something there: it shows what that rests on."""
        from tui.screens.reel import ReelScreen

        reel = self.reel_here()
        if reel is not None:
            self.app.push_screen(ReelScreen(reel, action))

    def action_add(self) -> None:
        """Enter a fact."""
        self._on_page("add")

    def action_check(self) -> None:
        """All there is to know before a take."""
        self._on_page("check")

    def action_inspect(self) -> None:
        """Enter an inspection."""
        self._on_page("inspect")

    def action_cut(self) -> None:
        """Cut tape out."""
        self._on_page("cut")

    def action_proof(self) -> None:
        """What proves each take."""
        self._on_page("proof")

    def action_why(self) -> None:
        """Why it is not clear."""
        self._on_page("why")

    def action_wear(self) -> None:
        """Measured wear."""
        from tui.screens.wear import WearScreen

        reel = self.reel_here()
        if reel is not None:
            self.app.push_screen(WearScreen(reel))

    def action_wipe(self) -> None:
        """Go through the guarded wipe."""
        from tui.screens.wipe import WipeScreen

        reel = self.reel_here()
        if reel is not None:
            self.app.push_screen(WipeScreen(reel))

    async def action_log(self) -> None:
        """The session log with the reel on the machine."""
        reel = self.reel_here()
        if reel is not None:
            await cast("ReelwardApp", self.app).log_reel(reel)
