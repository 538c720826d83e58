using System.Globalization;

namespace FlickerProbe.Tests.Reports;

/// <summary>Runs the rest of a test as on a computer set to another language.</summary>
internal sealed class CultureScope : IDisposable
{
    private readonly CultureInfo _before = CultureInfo.CurrentCulture;

    public CultureScope(string name) => CultureInfo.CurrentCulture = CultureInfo.GetCultureInfo(name);

    public void Dispose() => CultureInfo.CurrentCulture = _before;
}
