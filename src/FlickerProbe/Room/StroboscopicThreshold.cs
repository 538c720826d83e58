namespace FlickerProbe.Room;

/// <summary>The two published threshold functions of the stroboscopic visibility measure; a figure without the name of its threshold means little.</summary>
public enum StroboscopicThreshold
{
    /// <summary>T1: CIE TN 006:2016 and IEC TR 63158:2018 (constants from memory).</summary>
    Cie2016,

    /// <summary>T2: Perz, Sekulovski, Vogels and Heynderickx, JOSA A 35(2), 2018 (constants from memory).</summary>
    Perz2018,
}
