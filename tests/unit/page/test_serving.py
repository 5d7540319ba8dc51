"""Where the page is served, and to whom."""

import re
import socket

import pytest

from platewright.errors import OutputError
from platewright.page import serving
from platewright.page.app import KEY_HEADER

NETWORK = "127.0.0.2"  # stands for the machine's address on its network


def served(monkeypatch, tmp_path, visit, **how):
    """Serve a folder and visit it by the client of its app."""
    told = []

    class Server:
        def __init__(self, app, sockets, **_):
            self.app, self.sockets = app, sockets

        def run(self):
            visit(self.app.test_client(), told[0], self.sockets)

        def close(self):
            for each in self.sockets:
                each.close()

    monkeypatch.setattr(serving, "create_server", Server)
    options = {"port": 0, "lan": False, "write": False, **how}
    serving.serve(tmp_path, "nest", ready=told.append, **options)
    return told[0]


def parts(address):
    found = re.fullmatch(r"http://([\d.]+):(\d+)/([\w-]{14,})/nest", address)
    assert found
    return found[1], int(found[2]), found[3]


def test_alone_it_listens_on_this_machine_only(monkeypatch, tmp_path):
    def visit(client, at, sockets):
        host, port, key = parts(at.own)
        assert [each.getsockname() for each in sockets] == [("127.0.0.1", port)]
        assert host == "127.0.0.1"
        for name in ("127.0.0.1", "localhost"):
            answer = client.get(f"/{key}/api/folder", headers={"Host": f"{name}:{port}"})
            assert answer.json["can_write"] is True

    assert served(monkeypatch, tmp_path, visit).lan is None


@pytest.mark.parametrize("write", [False, True])
def test_the_network_has_an_address_and_a_key_of_its_own(monkeypatch, tmp_path, write):
    monkeypatch.setattr(serving, "lan_address", lambda: NETWORK)

    def visit(client, at, sockets):
        _, port, own = parts(at.own)
        host, lan_port, key = parts(at.lan)
        assert (host, lan_port) == (NETWORK, port)
        assert key != own
        assert [each.getsockname()[0] for each in sockets] == ["127.0.0.1", NETWORK]
        head = {"Host": f"{NETWORK}:{port}", KEY_HEADER: key}
        assert client.get(f"/{key}/api/folder", headers=head).json["can_write"] is write
        told = {"name": "new.toml", "kind": "tab"}
        answer = client.post(f"/{key}/api/new", json=told, headers=head)
        assert answer.status_code == (201 if write else 403)
        assert client.get(f"/{own}/api/folder", headers=head).status_code == 404
        at_the_bench = client.get(f"/{own}/", headers={"Host": f"127.0.0.1:{port}"}).text
        may = "change these files" if write else "look at these files"
        told = rf"whoever has the address {at.lan.removesuffix('nest')} can\s+{may}"
        assert re.search(told, at_the_bench)
        on_the_phone = client.get(f"/{key}/", headers=head).text
        assert re.search(rf"whoever has this address can\s+{may}", on_the_phone)
        assert own not in on_the_phone

    served(monkeypatch, tmp_path, visit, lan=True, write=write)


def test_keys_are_new_each_time_and_long_enough_not_to_be_guessed(monkeypatch, tmp_path):
    keys = {parts(served(monkeypatch, tmp_path, lambda *_: None).own)[2] for _ in range(3)}
    assert len(keys) == 3
    assert all(len(key) * 6 >= 128 for key in keys)  # bits, of six a letter


def test_a_port_in_use_and_a_machine_without_a_network_are_told(monkeypatch, tmp_path):
    with socket.socket() as taken:
        taken.bind(("127.0.0.1", 0))
        taken.listen()
        port = taken.getsockname()[1]
        with pytest.raises(OutputError, match=rf"at 127\.0\.0\.1:{port}: address already in use"):
            served(monkeypatch, tmp_path, None, port=port)
    monkeypatch.setattr(serving, "lan_address", lambda: None)
    with pytest.raises(OutputError, match="no local network"):
        served(monkeypatch, tmp_path, None, lan=True)
