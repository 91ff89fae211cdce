"""Currency codes and their minor units: digits after the point.

Source: ISO 4217, active codes with their minor units as commonly published, written from memory in 2026 and checked in
the tests against Babel's independent copy of the list; precious metals and funds left out.
"""

from __future__ import annotations

_TWO = (
    "AED AFN ALL AMD AOA ARS AUD AWG AZN BAM BBD BDT BGN BMD BND BOB BRL BSD BTN BWP BYN BZD CAD CDF CHF CNY COP CRC"
    " CUP CVE CZK DKK DOP DZD EGP ERN ETB EUR FJD FKP GBP GEL GHS GIP GMD GTQ GYD HKD HNL HTG HUF IDR ILS INR IRR JMD"
    " KES KGS KHR KPW KYD KZT LAK LBP LKR LRD LSL MAD MDL MKD MMK MNT MOP MUR MVR MWK MXN MYR MZN NAD NGN NIO NOK NPR"
    " NZD PAB PEN PGK PHP PKR PLN QAR RON RSD RUB SAR SBD SCR SDG SEK SGD SHP SLE SOS SRD SSP STN SVC SYP SZL THB TJS"
    " TMT TOP TRY TTD TWD TZS UAH USD UYU UZS VED VES WST XCD XCG YER ZAR ZMW ZWG"
)
_ZERO = "BIF CLP DJF GNF ISK JPY KMF KRW PYG RWF UGX VND VUV XAF XOF XPF"
_THREE = "BHD IQD JOD KWD LYD OMR TND"
_CENTS_OF_FIVE = "MRU MGA"  # divided by five, written with two digits

MINOR_UNITS: dict[str, int] = {
    **dict.fromkeys(_TWO.split(), 2),
    **dict.fromkeys(_ZERO.split(), 0),
    **dict.fromkeys(_THREE.split(), 3),
    **dict.fromkeys(_CENTS_OF_FIVE.split(), 2),
}
"""Digits after the decimal point for each currency code."""
