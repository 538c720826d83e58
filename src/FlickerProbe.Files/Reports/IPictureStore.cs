namespace FlickerProbe.Files.Reports;

/// <summary>Keeps finished pictures between runs, so that a report whose pictures did not change is not drawn again.</summary>
public interface IPictureStore
{
    /// <summary>The picture of a key: a kept one, or drawn now and kept.</summary>
    /// <param name="key">All that the picture depends on but the program itself.</param>
    /// <param name="draw">Draws it.</param>
    byte[] Picture(string key, Func<byte[]> draw);
}
