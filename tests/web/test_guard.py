"""What comes from elsewhere is refused, and every answer carries its headers."""

from __future__ import annotations

import pytest
from starlette.testclient import TestClient

from gyle.web.guard import LARGEST_POST

EDIT = "/beers/copper-beacon/edit?base=4"


@pytest.mark.parametrize("address", ["/", "/healthz", "/assets/gyle.css", "/nowhere", "/beers/copper-beacon"])
def test_every_answer_forbids_what_is_not_ours(client: TestClient, address: str) -> None:
    headers = client.get(address).headers
    policy = headers["content-security-policy"]
    assert "default-src 'none'" in policy
    assert "script-src 'self'" in policy
    assert "unsafe" not in policy
    assert headers["x-content-type-options"] == "nosniff"
    assert headers["x-frame-options"] == "DENY"


@pytest.mark.parametrize("host", ["evil.example", "localhost.evil.example", "", "127.0.0.1.evil.example:80"])
def test_another_name_for_this_machine_is_not_answered(client: TestClient, host: str) -> None:
    refused = client.get("/", headers={"Host": host})
    assert refused.status_code == 421
    assert "only on this machine" in refused.text


@pytest.mark.parametrize("host", ["localhost", "127.0.0.1:4953", "[::1]:4953", "LOCALHOST:1"])
def test_its_own_names_are_answered(client: TestClient, host: str) -> None:
    assert client.get("/healthz", headers={"Host": host}).json()["ready"] is True


@pytest.mark.parametrize(
    "headers",
    [
        {"Origin": "https://evil.example"},
        {"Origin": "null"},
        {"Origin": "http://["},
        {"Origin": "http://localhost.evil.example"},
        {"Sec-Fetch-Site": "cross-site"},
        {"Sec-Fetch-Site": "same-site"},
    ],
)
def test_a_post_of_another_site_changes_nothing(client: TestClient, headers: dict[str, str]) -> None:
    refused = client.post(EDIT, data={"boil.time": "90 min"}, headers=headers)
    assert refused.status_code == 403
    assert "nothing was changed" in refused.text
    assert "not yet saved" not in client.get("/beers/copper-beacon").text


def test_too_much_at_once_is_refused_before_it_is_read(client: TestClient) -> None:
    refused = client.post(EDIT, data={"notes": "x" * (LARGEST_POST + 1)})
    assert refused.status_code == 413
    assert "nothing was changed" in refused.text


def test_a_body_of_unstated_length_is_refused(client: TestClient) -> None:
    refused = client.post(EDIT, content=iter([b"boil.time=90"]))
    assert refused.status_code == 411
    assert client.post(EDIT, headers={"Content-Length": "-5"}).status_code == 413
