"""What the keys of Receive record once a bag or the list is open."""

from __future__ import annotations

from intake.flows.views.receive import ReceiveList, ReceiveView
from intake.screens.papers import ask_crossing
from intake.screens.receive_asks import ask_checkpoint, ask_claim, ask_settle, ask_vessel
from intake.screens.room_screen import RoomScreen


class ReceiveRecords(RoomScreen[None]):
    """The jobs of Receive; the faces and how they are drawn are in the screen itself."""

    list: ReceiveList | None
    view: ReceiveView | None
    cursor: int

    def again(self, _recorded: object) -> None:
        """The bag as it is now."""
        raise NotImplementedError

    def to_list(self, _recorded: object) -> None:
        """Back to the bags on hand."""
        raise NotImplementedError

    def action_vessel(self) -> None:
        """Where the fish of this bag go."""
        if self.view is not None and self.view.vessels:
            ask_vessel(self, self.view, self.again)

    def action_add_bag(self) -> None:
        """One more bag in the box under the cursor."""
        if self.view is None and self.list and self.list.bags:
            box = self.list.bags[self.cursor].box
            self.record(lambda jobs: jobs.bag_new(box), self.to_list)

    def action_claim(self) -> None:
        """A claim sent to the seller of a shipment on hand."""
        if self.view is None and self.list and self.list.shipments:
            ask_claim(self, self.list.shipments, self.to_list)

    def action_checkpoint(self) -> None:
        """A measured temperature or pH corrects the clock."""
        if self.view is not None and self.view.run is not None:
            ask_checkpoint(self, self.view, self.again)

    def action_next_step(self) -> None:
        """The step under way is done."""
        view = self.view
        if view is None or view.run is None:
            return
        if view.run.asks is not None:
            self.because.say(f"Asked first: {view.run.asks.ask}. Press t.", "care")
            return
        self.record(lambda jobs: jobs.next_step(view.box, view.bag), self.again)

    def action_hold(self) -> None:
        """Keeps the bag shut; always live."""
        view = self.view
        if view is not None and view.run is not None:
            on_hold = not view.run.holding
            self.record(lambda jobs: jobs.hold(view.box, view.bag, on_hold), self.again)

    def action_settle(self) -> None:
        """The fish are across: how many."""
        if self.view is not None:
            ask_settle(self, self.view, self.to_list)

    def action_print(self) -> None:
        """The way across on paper, under way or over."""
        if self.view is not None and self.view.step in ("run", "settle", "settled"):
            ask_crossing(self, self.view.box, self.view.bag)
