"""A digital calibration certificate for tests. All of it is invented: laboratory, numbers, values; no schema's example.

Two results: a flow in lists with doubts of D-SI 2 (`measurementUncertaintyUnivariateXMLList`), and a voltage in single
values with those of D-SI 1 (`expandedUnc`). Conditions of the room stand beside them and belong to no range.

Held once against another reader (pydcc 0.2.33, without its checks that need a network): number, last day,
laboratory, identifications, lists, doubts and factor came out the same. It takes no date with a `Z`.
"""

from __future__ import annotations

CERTIFICATE = r"""<?xml version="1.0" encoding="UTF-8"?>
<!-- Invented for tests. No such laboratory, no such instrument. -->
<dcc:digitalCalibrationCertificate xmlns:dcc="https://ptb.de/dcc" xmlns:si="https://ptb.de/si" schemaVersion="3.3.0">
  <dcc:administrativeData>
    <dcc:dccSoftware>
      <dcc:software><dcc:name><dcc:content>by hand</dcc:content></dcc:name><dcc:release>1</dcc:release></dcc:software>
    </dcc:dccSoftware>
    <dcc:coreData>
      <dcc:countryCodeISO3166_1>DE</dcc:countryCodeISO3166_1>
      <dcc:usedLangCodeISO639_1>de</dcc:usedLangCodeISO639_1>
      <dcc:usedLangCodeISO639_1>en</dcc:usedLangCodeISO639_1>
      <dcc:mandatoryLangCodeISO639_1>de</dcc:mandatoryLangCodeISO639_1>
      <dcc:uniqueIdentifier>LC-26-011</dcc:uniqueIdentifier>
      <dcc:beginPerformanceDate>2026-02-02</dcc:beginPerformanceDate>
      <dcc:endPerformanceDate>2026-02-03Z</dcc:endPerformanceDate>
      <dcc:performanceLocation>laboratory</dcc:performanceLocation>
    </dcc:coreData>
    <dcc:items>
      <dcc:item>
        <dcc:name>
          <dcc:content lang="de">Durchflussmessger&#228;t</dcc:content>
          <dcc:content lang="en">Flow analyser</dcc:content>
        </dcc:name>
        <dcc:manufacturer><dcc:name><dcc:content>an invented maker</dcc:content></dcc:name></dcc:manufacturer>
        <dcc:model>FA 2</dcc:model>
        <dcc:identifications>
          <dcc:identification>
            <dcc:issuer>calibrationLaboratory</dcc:issuer><dcc:value>LAB-7</dcc:value>
            <dcc:name><dcc:content lang="en">inventory</dcc:content></dcc:name>
          </dcc:identification>
          <dcc:identification refType="basic_serialNumber">
            <dcc:issuer>manufacturer</dcc:issuer><dcc:value>A-2210</dcc:value>
          </dcc:identification>
        </dcc:identifications>
      </dcc:item>
    </dcc:items>
    <dcc:calibrationLaboratory>
      <dcc:contact><dcc:name><dcc:content>an accredited laboratory (invented)</dcc:content></dcc:name></dcc:contact>
    </dcc:calibrationLaboratory>
  </dcc:administrativeData>
  <dcc:measurementResults>
    <dcc:measurementResult>
      <dcc:name><dcc:content lang="en">Results</dcc:content></dcc:name>
      <dcc:influenceConditions>
        <dcc:influenceCondition>
          <dcc:name><dcc:content lang="en">temperature of the room</dcc:content></dcc:name>
          <dcc:data>
            <dcc:quantity><si:real><si:value>23.0</si:value><si:unit>\degreecelsius</si:unit></si:real></dcc:quantity>
          </dcc:data>
        </dcc:influenceCondition>
      </dcc:influenceConditions>
      <dcc:results>
        <dcc:result>
          <dcc:name><dcc:content lang="en">Flow</dcc:content></dcc:name>
          <dcc:data>
            <dcc:list>
              <dcc:quantity refType="basic_measuredValue">
                <si:realListXMLList>
                  <si:valueXMLList>10.02 100.3 299.1</si:valueXMLList>
                  <si:unitXMLList>\milli\litre\per\hour</si:unitXMLList>
                </si:realListXMLList>
              </dcc:quantity>
              <dcc:quantity refType="basic_referenceValue">
                <si:realListXMLList>
                  <si:valueXMLList>10.00 100.0 300.0</si:valueXMLList>
                  <si:unitXMLList>\milli\litre\per\hour</si:unitXMLList>
                </si:realListXMLList>
              </dcc:quantity>
              <dcc:quantity refType="basic_measurementError">
                <si:realListXMLList>
                  <si:valueXMLList>0.02 0.3 -0.9</si:valueXMLList>
                  <si:unitXMLList>\milli\litre\per\hour</si:unitXMLList>
                  <si:measurementUncertaintyUnivariateXMLList>
                    <si:expandedMUXMLList>
                      <si:valueExpandedMUXMLList>0.05 0.20 0.60</si:valueExpandedMUXMLList>
                      <si:coverageFactorXMLList>2</si:coverageFactorXMLList>
                      <si:coverageProbabilityXMLList>0.95</si:coverageProbabilityXMLList>
                    </si:expandedMUXMLList>
                  </si:measurementUncertaintyUnivariateXMLList>
                </si:realListXMLList>
              </dcc:quantity>
            </dcc:list>
          </dcc:data>
        </dcc:result>
        <dcc:result>
          <dcc:name><dcc:content lang="en">Output for a recorder</dcc:content></dcc:name>
          <dcc:data>
            <dcc:quantity refType="basic_referenceValue">
              <si:real>
                <si:value>1.000</si:value><si:unit>\volt</si:unit>
                <si:expandedUnc>
                  <si:uncertainty>2.1e-3</si:uncertainty><si:coverageFactor>2.05</si:coverageFactor>
                  <si:coverageProbability>0.95</si:coverageProbability>
                </si:expandedUnc>
              </si:real>
            </dcc:quantity>
          </dcc:data>
          <dcc:measurementMetaData>
            <dcc:metaData><dcc:conformity>pass</dcc:conformity></dcc:metaData>
          </dcc:measurementMetaData>
        </dcc:result>
        <dcc:result>
          <dcc:name><dcc:content lang="en">Light of the display</dcc:content></dcc:name>
          <dcc:data>
            <dcc:quantity><si:real><si:value>80</si:value><si:unit>\candela\per\metre\tothe{2}</si:unit></si:real></dcc:quantity>
          </dcc:data>
        </dcc:result>
      </dcc:results>
    </dcc:measurementResult>
  </dcc:measurementResults>
</dcc:digitalCalibrationCertificate>
"""


def certificate(*changes: tuple[str, str]) -> bytes:
    """The certificate with texts changed, each of which stands in it once."""
    text = CERTIFICATE
    for old, new in changes:
        assert text.count(old) == 1, old
        text = text.replace(old, new)
    return text.encode("utf-8")
